/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is thought after the readings, and what every test would show then, as a puzzle: a few
 * hypotheses stand for all of a fault, a scale is cut into ranges about as wide as the meter and
 * good parts scatter, words are as sharp as people see. What the tests made later tell of the
 * tolerances is not followed: each is forecast from the readings taken so far.
 */
#ifndef BP_DIAGNOSE_FORECAST_H
#define BP_DIAGNOSE_FORECAST_H

#include "diagnose/posterior.h"
#include "diagnose/puzzle.h"

/* What a test shows in a case. */
typedef struct bp_shown {
    bp_cell_sort sort;
    float mean, sd;   /* BP_CELL_VALUE, and of a test lamp's light; else NAN */
    const char *word; /* BP_CELL_SAYS, and what a test lamp does */
} bp_shown;

/* One outcome of a test: a range of its scale, or a word. */
typedef struct bp_range {
    double low, high; /* of a number; infinite at the ends of the scale; NAN of a word */
    const char *word; /* "OL", "unsteady", "dim"; NULL of a number */
} bp_range;

typedef struct bp_forecast {
    const bp_posterior *posterior;
    size_t n_cases;
    size_t *hypothesis; /* by case: of the posterior; BP_NONE: something not in the list */
    size_t *fault;      /* by case: of the atlas; BP_NONE: none (healthy, absent, other) */
    double *weight;     /* by case; sum 1 */
    size_t n_tests;
    size_t *test;     /* by test: of the atlas */
    bp_shown *shown;  /* by test, case */
    bp_range **range; /* by test: its outcomes */
    bp_puzzle_test *outcomes;
    size_t *class_of; /* by case: faults that none of these tests tells apart share one */
    size_t n_classes;
    bp_puzzle puzzle; /* all of this as a puzzle; its costs are the caller's to fill in */
} bp_forecast;

/* The cases alone. NULL: no memory. */
bp_forecast *bp_forecast_new(const bp_posterior *posterior);
void bp_forecast_free(bp_forecast **forecast);

/* The rows of the atlas that the cases stand on; owned by the caller (free). NULL: no memory. */
size_t *bp_forecast_rows(const bp_forecast *forecast, size_t *n);

/* What these tests would show; their cells must be there. BP_OK or BP_ERR_MEMORY. Once. */
bp_status bp_forecast_tests(bp_forecast *forecast, const size_t *tests, size_t n);

/* forecast_outcomes.c: outcomes of a test whose `shown` is there. False: no memory. */
bool bp_forecast_outcomes(bp_forecast *forecast, size_t test);

/* Do two cases look alike within two standard deviations on every test? */
bool bp_forecast_alike(const bp_forecast *forecast, size_t x, size_t y);

#endif
