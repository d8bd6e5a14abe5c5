/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a bp_next.
 */
#ifndef BP_DIAGNOSE_NEXT_PARTS_H
#define BP_DIAGNOSE_NEXT_PARTS_H

#include <backprobe/next.h>

#include "diagnose/cost.h"
#include "diagnose/diagnosis.h"
#include "diagnose/forecast.h"
#include "sim/store.h"

struct bp_next {
    bp_diagnosis *d;
    bp_next_options options;
    bp_forecast *forecast;
    bp_bench_top *top;      /* where the work stands after the readings taken */
    bp_bench_top *way;      /* the same after some tests more, for bp_next_minutes */
    bp_puzzle_score *score; /* by test of the forecast */
    size_t supply;          /* the forecast's test that comes first whatever it tells, or BP_NONE */
    bp_store store;         /* all texts */
    bp_next_test *test;
    size_t n_tests;
    size_t n_suspects;
    const char *end;
    bp_test_plan *plan;
};

/* Minutes of a puzzle's test (data: the bp_next). */
double bp_next_minutes(void *data, const size_t *made, size_t n_made, size_t test);

/* next_words.c: title and steps of a test of the forecast, into out. */
void bp_next_name_test(bp_next *next, size_t test, bp_next_test *out);
/* "G3:resistance": a fault of the atlas without how bad; in the store. */
const char *bp_next_fault_id(bp_next *next, size_t fault);
/* "W18 (GN/RD 2.5 mm²) open, C3 to C5". */
const char *bp_next_fault_words(bp_next *next, size_t fault);
/* What weights of the cases come down to, as a list for people: "W15, W16 or S2"; and by what they
 * are called in JSON. *suspects: how many together hold nearly all. */
const char *bp_next_left(bp_next *next, const double *weight, const char *const **leaves,
                         size_t *n_leaves, size_t *suspects);

/* next_outcomes.c: the outcomes of a test made with these weights, in as many groups as people can
 * use, into out; and the weights after each of them. */
typedef struct bp_next_branches {
    size_t n;       /* as many as out->n_outcomes */
    double *weight; /* by outcome, case; owned by the caller (free) */
} bp_next_branches;
bp_next_branches bp_next_make_outcomes(bp_next *next, size_t test, const double *weight,
                                       bp_next_test *out);

/* next_plan.c. False: no memory. */
bool bp_next_make_plan(bp_next *next);

#endif
