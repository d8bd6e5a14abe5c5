/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Everything that a sheet says, worked out before a line is drawn.
 */
#ifndef BP_RENDER_SHEET_FACTS_H
#define BP_RENDER_SHEET_FACTS_H

#include <backprobe/scope.h>
#include <backprobe/sheet.h>

#include "circuits/circuit.h"
#include "circuits/fault.h"
#include "circuits/path.h"
#include "render/schematic.h"
#include "sim/instrument.h"

/* One stretch between two places along the current: red here, black there. */
typedef struct bp_drop {
    char red[40], black[40];        /* "battery +", "A" */
    char red_at[64], black_at[64];  /* faces, for the question */
    char spans[200];                /* "F4, W1, W2" */
    bool load;                      /* what the loads take: as much as is left for them */
    double most;                    /* most allowed, V; NAN for a load */
    const bp_reading *good, *fault; /* fault NULL when healthy; owned by the answers */
} bp_drop;

typedef struct bp_drops {
    bp_answer *good, *fault;
    bp_drop *rows;
    size_t n;
    bp_drop side[2]; /* all before the loads, all behind them; good NULL when there is nothing */
    double sum_good, sum_fault; /* V; NAN when a row has no result */
} bp_drops;

/* Sentences; rows marked `strong` are what the fault changed. */
typedef struct bp_words {
    char **line;
    bool *strong;
    size_t n;
} bp_words;

/* A column of the table of readings: a state, or one phase of it. */
typedef struct bp_state_column {
    const bp_state *state;
    const bp_state_answer *good, *fault; /* fault NULL when healthy is shown */
} bp_state_column;

typedef struct bp_facts {
    const bp_circuit *circuit;
    bp_sheet_options options;
    bp_fault_case faults;
    char fault_words[400];
    char solver[64];
    size_t shown; /* state index */
    bp_answer *good, *fault;
    bp_state_column *columns;
    size_t n_columns;
    size_t column; /* the one shown */
    bp_path path;
    bp_drops drops;
    bp_words notices, gives_away;
    bp_look *looks;       /* by part, as with the fault */
    bp_tag *tags;         /* by point; strings are owned by the answers */
    bp_scope_run **waves; /* of the circuit's waveforms: n_waves good ones, then as many with the
                             fault, NULL when healthy */
    size_t n_waves;
} bp_facts;

/* Asks the lab for all of it. Free with bp_facts_clear whatever comes back. */
bp_status bp_facts_gather(bp_facts *facts, bp_lab *lab, const bp_sheet_options *options,
                          bp_report *report);
void bp_facts_clear(bp_facts *facts);

/* From the answers already in facts: columns, tags, looks and words. */
bp_status bp_facts_derive(bp_facts *facts);

/* The question that the sheet's options ask. */
bp_question bp_facts_question(const bp_sheet_options *options);

/* The reading of a point in a state's answer, or NULL. */
const bp_reading *bp_reading_of_point(const bp_state_answer *answer, const char *point);

/* "11.93 – 12.40 V" with the digits of the display; empty when there is no range. Length as
 * snprintf. */
int bp_range_text(const bp_reading *reading, char *text, size_t size);
/* A reading as it is printed: the display, or "no result". */
const char *bp_reading_text(const bp_reading *reading);

/* What one side of a load may drop in all, V: common practice. */
extern const double bp_whole_limit;
/* Finds the way of the current and the drops along it. state: the one shown. */
bp_status bp_drops_gather(bp_facts *facts, bp_lab *lab, bp_report *report);
void bp_drops_clear(bp_drops *drops);

/* Runs the circuit's waveforms. */
bp_status bp_waves_gather(bp_facts *facts, bp_lab *lab, bp_report *report);
void bp_waves_clear(bp_facts *facts);

/* Words. */
bp_status bp_words_notices(bp_facts *facts);
bp_status bp_words_giveaway(bp_facts *facts);
bool bp_words_add(bp_words *words, bool strong, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void bp_words_clear(bp_words *words);

/* "20 °C" or "68 °F". */
void bp_degrees_text(double celsius, bool us_units, char *text, size_t size);
/* "K2 terminal 30": where a face is, for people. And how a point is reached. Length as snprintf. */
int bp_face_words(const bp_circuit *circuit, size_t face, char *text, size_t size);
int bp_point_words(const bp_circuit *circuit, const bp_point *point, char *text, size_t size);
int bp_reach_words(const bp_point *point, char *text, size_t size);
/* "S1 pressed, engine 95 °C": what the state sets. */
int bp_state_words(const bp_circuit *circuit, const bp_state *state, bool us_units, char *text,
                   size_t size);
/* "battery 12.52 V at the posts · 20 °C · ..." */
int bp_conditions_words(const bp_facts *facts, char *text, size_t size);

#endif
