/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Case files (YAML): a complaint, what was measured, what was seen. docs/case-file.md describes the
 * format.
 *
 *     bp_casefile *f = NULL;
 *     if (bp_casefile_load("horn.yaml", &f, report) != BP_OK) ...   // every mistake is in the
 * report bp_casefile_circuit(f);                                       // the circuit it is about
 *     bp_casefile_add("horn.yaml", "state horn, red D, 0.02 V", report);
 *     bp_casefile_free(&f);
 */
#ifndef BACKPROBE_CASEFILE_H
#define BACKPROBE_CASEFILE_H

#include <backprobe/predict.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bp_casefile bp_casefile;

/* How the trouble began. */
#define BP_ONSET_LIST(X)                                                                           \
    X(BP_ONSET_UNKNOWN, "unknown")                                                                 \
    X(BP_ONSET_SUDDEN, "sudden")                                                                   \
    X(BP_ONSET_GRADUAL, "gradual")                                                                 \
    X(BP_ONSET_AFTER_WORK, "after-work")                                                           \
    X(BP_ONSET_AFTER_RAIN, "after-rain")                                                           \
    X(BP_ONSET_WHEN_HOT, "when-hot")                                                               \
    X(BP_ONSET_WHEN_COLD, "when-cold")

typedef enum bp_onset {
#define X(code, name) code,
    BP_ONSET_LIST(X)
#undef X
        BP_N_ONSETS
} bp_onset;

const char *bp_onset_name(bp_onset onset);

/* Was the trouble there at that moment? */
typedef enum bp_present { BP_PRESENT_UNKNOWN, BP_PRESENT_YES, BP_PRESENT_NO } bp_present;

/* What a reading said. */
typedef enum bp_seen_sort {
    BP_SEEN_VALUE,    /* a number */
    BP_SEEN_OVER,     /* "OL" */
    BP_SEEN_UNSTEADY, /* "unsteady" */
    BP_SEEN_WORD /* a test lamp's "off", "dim", "bright", or what a part does: "weak", "silent" */
} bp_seen_sort;

/* One reading or observation. Strings belong to the case file. */
typedef struct bp_case_reading {
    const char *const *after; /* actions in order */
    size_t n_after;
    const char *state;
    const char *observe; /* part that was watched; NULL: a meter's reading */
    bp_instrument instrument;
    const char *red, *black; /* as written; black NULL = the circuit's reference */
    const char *at;          /* part whose place an ammeter took, or NULL */
    bp_seen_sort sort;
    double value;     /* in `unit`; NAN unless BP_SEEN_VALUE */
    double digit;     /* half of the last digit as written, same unit */
    bp_unit unit;     /* of the instrument */
    const char *word; /* with BP_SEEN_WORD */
    const char *text; /* the value as written: "0.02 V", "OL" */
    bp_present present;
    size_t line, column; /* in the file; 0 = not from a file */
} bp_case_reading;

/* Reads and checks a case file, together with its circuit (looked up as bp_load does; a path with a
 * '/' is taken from the case file's own folder first). BP_ERR_INPUT: mistakes, with line and
 * column, of the case or of its circuit; BP_ERR_FILE. The report may hold warnings on success. */
bp_status bp_casefile_load(const char *path, bp_casefile **file, bp_report *report);

/* The same from memory; `name` stands for the file in messages. */
bp_status bp_casefile_text(const char *text, size_t size, const char *name, bp_casefile **file,
                           bp_report *report);
void bp_casefile_free(bp_casefile **file);

/* Is this text a case file (it has a line `case:`) rather than a circuit file? */
bool bp_casefile_is(const char *text, size_t size);

/* Adds a reading, an observation or a line of actions with a reading to the file, as people say it:
 *     state horn, red D, 0.02 V
 *     state horn, red D, black E, 12.3 V, present no
 *     after unplug C12, state horn, red C12.a1, 12.4 V
 *     state horn, observe H1, off
 * Everything is checked as if it had been in the file; with a mistake the file stays as it was. The
 * new file is written beside and renamed; the old one is kept as PATH.bak. Everything else in the
 * file (comments, order) stays as it is. */
bp_status bp_casefile_add(const char *path, const char *line, bp_report *report);

/* All valid as long as the case file. */
const bp_circuit *bp_casefile_circuit(const bp_casefile *file);
const char *bp_casefile_path(const bp_casefile *file);
const char *bp_casefile_complaint(const bp_casefile *file); /* NULL when not written */
bp_onset bp_casefile_onset(const bp_casefile *file);
bool bp_casefile_by_other(const bp_casefile *file); /* measured by somebody else */
/* Parts that were already replaced. */
size_t bp_casefile_n_replaced(const bp_casefile *file);
const char *bp_casefile_replaced(const bp_casefile *file, size_t i);
/* Resting voltage of the battery and half of its last digit, V; NAN when not measured. */
double bp_casefile_rest_volts(const bp_casefile *file, double *digit);
/* degC, NAN when not told. */
double bp_casefile_ambient(const bp_casefile *file);
double bp_casefile_engine(const bp_casefile *file);

size_t bp_casefile_n_readings(const bp_casefile *file);
const bp_case_reading *bp_casefile_reading(const bp_casefile *file, size_t i);

#ifdef __cplusplus
}
#endif
#endif
