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

enum { BP_REPLY_TESTS = 3, BP_REPLY_OUTCOMES = 5, BP_REPLY_STEPS = 8, BP_REPLY_SUSPECTS = 6 };

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

/* What it can be, and how likely that is. */
typedef struct bp_reply_suspect {
    char *words;
    double share; /* 0 to 1 */
} bp_reply_suspect;

typedef struct bp_reply {
    bp_facts base;   /* circuit, paper, solver, how the parts look in the state drawn */
    char *complaint; /* the heading */
    char *lead;      /* "Measure next", "Look elsewhere" ... */
    bp_words known, advice, buying, stop; /* advice: instead of tests */
    bp_reply_suspect suspects[BP_REPLY_SUSPECTS];
    size_t n_suspects;
    bp_reply_test tests[BP_REPLY_TESTS];
    size_t n_tests;
    bool *left_out; /* parts that have no part in it and are not drawn, by part; owned; or NULL */
    /* The circuit as it is drawn: its points are where leads go and what was read already. */
    bp_circuit shown;
    bp_point *points; /* of `shown`; owned, ids too */
    bp_tag *tags;     /* by its points; owned, texts too */
} bp_reply;

/* Frees what the reply holds; `base` by bp_facts_clear. */
void bp_reply_clear(bp_reply *reply);

#endif
