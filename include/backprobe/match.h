/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which faults explain a case file's readings.
 *
 *     bp_match *m = bp_match_new(file, &options, report);     // NULL: see the report
 *     bp_match_suspect(m, 0)->probability ...
 *     bp_match_free(&m);
 */
#ifndef BACKPROBE_MATCH_H
#define BACKPROBE_MATCH_H

#include <backprobe/casefile.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What a suspect is. */
typedef enum bp_suspect_sort {
    BP_SUSPECT_FAULTS,  /* faults that no reading so far tells apart */
    BP_SUSPECT_HEALTHY, /* this circuit is good, look elsewhere */
    BP_SUSPECT_ABSENT,  /* the trouble was not there when it was measured */
    BP_SUSPECT_PAIRS    /* two faults at once; only when no single one explains the readings */
} bp_suspect_sort;

/* One fault of a suspect. Strings belong to the match. */
typedef struct bp_suspect_fault {
    const char *fault;  /* without how bad: "G3:resistance"; of a pair joined by '+' */
    const char *words;  /* "ground G3 (under the load floor): high resistance" */
    double probability; /* of this fault alone */
    double severity;    /* how bad, the posterior's median; NAN when the mode has no degrees */
    double low, high;   /* central 90 %; NAN likewise */
    bp_unit unit;
} bp_suspect_fault;

typedef struct bp_suspect {
    bp_suspect_sort sort;
    double probability;
    const char *says;               /* one sentence: which readings speak for it */
    const bp_suspect_fault *faults; /* ordered by id; none for HEALTHY and ABSENT */
    size_t n_faults;
} bp_suspect;

/* A reading that the best suspect does not explain. */
typedef struct bp_misfit {
    size_t reading;   /* index in the case file */
    const char *says; /* "E reads 12.30 V in state horn, where ... gives 0.03 V" */
    const char
        *slip; /* what probably went wrong: "the black lead had no contact with bare metal" */
    double probability; /* that this reading was a slip */
} bp_misfit;

typedef struct bp_match_options {
    size_t workers;      /* of the lab; 0 = one per processor */
    const char *cache;   /* folder of the atlas cache; NULL: the user's; "": none */
    const char *repairs; /* book of repairs; NULL: the user's, when it is there; "": none */
    void (*progress)(void *data, size_t done, size_t of);
    void *data;
} bp_match_options;

#define BP_MATCH_OPTIONS_INIT                                                                      \
    { 0, NULL, NULL, NULL, NULL }

typedef struct bp_match bp_match;

/* The file is kept (not owned). NULL: the circuit could not be solved, no memory, a reading asks
 * for what cannot be done; the report says why. */
bp_match *bp_match_new(const bp_casefile *file, const bp_match_options *options, bp_report *report);
void bp_match_free(bp_match **match);

/* The most probable first; together with bp_match_other they sum to 1. */
size_t bp_match_n_suspects(const bp_match *match);
const bp_suspect *bp_match_suspect(const bp_match *match, size_t i);
/* "something not in the list" */
double bp_match_other(const bp_match *match);
size_t bp_match_n_misfits(const bp_match *match);
const bp_misfit *bp_match_misfit(const bp_match *match, size_t i);
/* Readings that do not count, each a sentence that says why and what to take instead. */
size_t bp_match_n_left_out(const bp_match *match);
const char *bp_match_left_out(const bp_match *match, size_t i);
/* What has to be measured before anything else is worth it (the supply), as a sentence; NULL. */
const char *bp_match_first(const bp_match *match);
/* Nothing in the list explains the readings. */
bool bp_match_is_no(const bp_match *match);

#ifdef __cplusplus
}
#endif
#endif
