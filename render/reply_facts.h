/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Everything that a reply sheet says, worked out before a line is drawn.
 */
#ifndef BP_RENDER_REPLY_FACTS_H
#define BP_RENDER_REPLY_FACTS_H

#include "render/sheet_facts.h"

/* What a test may show, and what it means then. */
typedef struct bp_reply_outcome {
    char *shows, *means;
} bp_reply_outcome;

/* "Red lead" and where to put it. */
typedef struct bp_reply_step {
    char *what, *how;
} bp_reply_step;

enum {
    BP_REPLY_TESTS = 3,
    BP_REPLY_OUTCOMES = 5,
    BP_REPLY_STEPS = 8,
    BP_REPLY_SUSPECTS = 6,
    BP_REPLY_READINGS = 6,
    BP_REPLY_COSTS = 3
};

/* A test to make. */
typedef struct bp_reply_test {
    char *title; /* "Volts from D to the battery's −" */
    char *time;  /* "about 4 min" */
    bp_reply_step steps[BP_REPLY_STEPS];
    size_t n_steps;
    char *unit; /* behind the blank: "V"; "" for what is watched */
    bp_reply_outcome outcomes[BP_REPLY_OUTCOMES];
    size_t n_outcomes;
} bp_reply_test;

/* A reading that was taken, or what was seen. */
typedef struct bp_reply_reading {
    char *state, *where, *read, *good; /* good: what a good circuit shows; may be empty */
    bool odd;                          /* it lies outside */
} bp_reply_reading;

/* What it can be, and how likely that is. */
typedef struct bp_reply_suspect {
    char *words;
    double share; /* 0 to 1 */
} bp_reply_suspect;

/* What a way to the proved repair costs: "testing first", then time, parts, all in money. Figures
 * that nobody can tell are empty. */
typedef struct bp_reply_cost {
    char *way, *figure[3];
} bp_reply_cost;

typedef struct bp_reply {
    bp_facts base;           /* circuit, paper, solver, how the parts look in the state drawn */
    char *complaint;         /* the heading */
    char *lead;              /* "Measure next", "Look elsewhere" ... */
    bp_words history, again; /* before the readings; which of them to take again */
    bp_words advice, buying, stop;       /* advice: instead of tests */
    bp_reply_cost costs[BP_REPLY_COSTS]; /* way NULL: nothing is known of them */
    bp_reply_reading readings[BP_REPLY_READINGS];
    size_t n_readings;
    bp_reply_suspect suspects[BP_REPLY_SUSPECTS];
    size_t n_suspects;
    bp_reply_test tests[BP_REPLY_TESTS];
    size_t n_tests;
    bool *left_out; /* parts that have no part in it and are not drawn, by part; owned; or NULL */
    /* The circuit as it is drawn: its points are where leads go and what was read already. */
    bp_circuit shown;
    bp_point *points; /* of `shown`; owned, ids too */
    bp_tag *tags;     /* by its points; owned, texts too */
    unsigned *of;     /* by its points: which tests put a lead there, a bit each; 0: was read */
} bp_reply;

/* Lets go of all tests but the first n, and of their tags. False: no memory. */
bool bp_reply_keep_tests(bp_reply *reply, size_t n);
/* Writes the numbers of the tests into the tags of their leads. False: no memory. */
bool bp_reply_number_tags(bp_reply *reply);

/* Frees what the reply holds; `base` by bp_facts_clear. */
void bp_reply_clear(bp_reply *reply);

#endif
