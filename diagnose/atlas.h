/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The atlas: what every test would show with every fault, and how far good parts move it.
 *
 * Rows are cases: healthy, and every single fault over its grid of severities, refined where
 * readings change fast; where the spread of good parts alone flips a relay or a fuse, a case has a
 * row for each settled condition, with its share. Columns are tests: leads on two places in a state
 * with an instrument, after actions; or watching a part. Tests that are asked in one go form a
 * page. The core page (volts at every point and across the stretches of the current's way, what
 * every part does, all in every state) is there for all rows from the start, out of the cache when
 * it can be. Everything else is computed when it is wanted, for the rows it is wanted for, and kept
 * in the cache too.
 *
 *     bp_atlas *atlas = bp_atlas_new(circuit, &options, report);
 *     for (size_t t = 0; t < bp_atlas_n_tests(atlas); t++) ...      // tests that are there
 *     size_t t = bp_atlas_test_add(atlas, &test, report);           // one more; BP_NONE: not
 * possible bp_atlas_want(atlas, &t, 1, rows, n_rows, report);            // solved where it is
 * missing bp_cell cell = bp_atlas_cell(atlas, row, t);
 */
#ifndef BP_DIAGNOSE_ATLAS_H
#define BP_DIAGNOSE_ATLAS_H

#include <backprobe/predict.h>

#include "circuits/circuit.h"
#include "circuits/fault.h"
#include "sim/spread.h"

typedef struct bp_atlas bp_atlas;

typedef struct bp_atlas_options {
    double ambient, engine; /* degC; NAN = as the states say */
    size_t workers;         /* 0 = one per processor */
    const char *cache;      /* folder; NULL: the user's XDG cache; "": none */
    bool steady; /* it is known that somebody complained of what a part does in a steady state */
    void (*progress)(void *data, size_t done, size_t of);
    void *data;
} bp_atlas_options;

#define BP_ATLAS_OPTIONS_INIT                                                                      \
    { NAN, NAN, 0, NULL, false, NULL, NULL }

/* NULL: no memory or no solver, see the report. The circuit is kept (not owned). */
bp_atlas *bp_atlas_new(const bp_circuit *circuit, const bp_atlas_options *options,
                       bp_report *report);
void bp_atlas_free(bp_atlas **atlas);

const bp_circuit *bp_atlas_circuit(const bp_atlas *atlas);
/* The lab behind it, for fresh solves; its workers start when first asked. */
bp_lab *bp_atlas_lab(bp_atlas *atlas);

/* ---- rows ---- */

typedef struct bp_atlas_row {
    size_t fault;    /* index for bp_atlas_fault; BP_NONE: healthy */
    double severity; /* NAN when the mode has none */
    double share;    /* of this settled condition among good parts' spreads; over the rows of one
                        fault and severity they sum to 1 */
    size_t next, before; /* the rows of the same fault and settled condition at the next higher and
                            lower severity: between two of them see bp_atlas_along; BP_NONE */
    double mass;      /* share of the fault's severities that the row itself stands for, and ... */
    double mass_next; /* ... that of the stretch to `next`: over a fault's rows all sum to 1 */
    double noticed;   /* probability that somebody notices it and complains: 1 where a part behaves
                         otherwise than in a good circuit; see bp_atlas_find_noticed */
} bp_atlas_row;

/* Row 0 is healthy. The rows of a fault are neighbours, by severity. */
size_t bp_atlas_n_rows(const bp_atlas *atlas);
const bp_atlas_row *bp_atlas_row_at(const bp_atlas *atlas, size_t row);

/* Faults in the order of bp_fault_list. */
size_t bp_atlas_n_faults(const bp_atlas *atlas);
const bp_fault_row *bp_atlas_fault(const bp_atlas *atlas, size_t fault);
/* Its first row, and how many it has. */
size_t bp_atlas_first_row(const bp_atlas *atlas, size_t fault, size_t *n);
/* Share of its severities at which somebody notices something. */
double bp_atlas_noticed(const bp_atlas *atlas, size_t fault);
/* How probable that is at a place on the stretch from a row to its `next` (0 = the row). */
double bp_atlas_noticed_along(const bp_atlas *atlas, size_t row, double place);

/* ---- tests ---- */

typedef struct bp_test {
    const char *const *after; /* actions in order; strings belong to the atlas once added */
    size_t n_after;
    size_t state;
    size_t part;                   /* what this part does is observed, no meter; else BP_NONE */
    bp_instrument instrument;      /* of a meter's test */
    size_t red, black;             /* faces; black BP_NONE: the reference */
    size_t red_point, black_point; /* the points that the leads are named by, or BP_NONE */
    size_t at;                     /* part whose place an ammeter takes, or BP_NONE */
} bp_test;

#define BP_TEST_INIT                                                                               \
    { NULL, 0, 0, BP_NONE, BP_VOLTS, BP_NONE, BP_NONE, BP_NONE, BP_NONE, BP_NONE }

size_t bp_atlas_n_tests(const bp_atlas *atlas);
const bp_test *bp_atlas_test(const bp_atlas *atlas, size_t test);
/* False: something pulses in its state, and it cannot be taken for granted that a meter shows what
 * is between two pulses. Volts, millivolts and a clamp are then told as means, off a run for each
 * row, and so is what a part does. */
bool bp_atlas_stands_still(const bp_atlas *atlas, size_t test);
/* Is it such a mean? */
bool bp_atlas_takes_runs(const bp_atlas *atlas, size_t test);
/* The index of this test, BP_NONE when it is not there. */
size_t bp_atlas_test_find(const bp_atlas *atlas, const bp_test *test);
/* The index of this test; it is added when it is not there. BP_NONE: no memory. Whether it can be
 * made shows when it is wanted. Adding never changes the index of another. */
size_t bp_atlas_test_add(bp_atlas *atlas, const bp_test *test);

/* ---- cells ---- */

typedef enum bp_cell_sort {
    BP_CELL_MISSING,  /* not computed yet: see bp_atlas_want */
    BP_CELL_VALUE,    /* a number */
    BP_CELL_OVER,     /* OL */
    BP_CELL_UNSTEADY, /* the display does not stand still */
    BP_CELL_SAYS,     /* an observation */
    BP_CELL_NONE      /* no result */
} bp_cell_sort;

typedef struct bp_cell {
    bp_cell_sort sort;
    double value;     /* in the instrument's unit; NAN unless BP_CELL_VALUE */
    const char *says; /* with BP_CELL_SAYS: the part's word, "" when it says nothing */
} bp_cell;

bp_cell bp_atlas_cell(const bp_atlas *atlas, size_t row, size_t test);
/* How a cell's value moves with good parts: by quantity of bp_atlas_spreads, its change for one
 * standard deviation of that quantity, into moves. *own_sd: what spread it has beside those (of
 * instruments whose moves are not worked out). All zero when the cell is no number. */
void bp_atlas_moves(const bp_atlas *atlas, size_t row, size_t test, double *moves, double *own_sd);
/* Along the stretch from a row to its `next`: the test's value at n places (0 = the row, 1 = next)
 * by interpolation over the mode's scale; false, and nothing is written, where the test is no
 * number at both ends. */
bool bp_atlas_along(const bp_atlas *atlas, size_t row, size_t test, const double *places, size_t n,
                    double *values);
/* The severity there. */
double bp_atlas_severity_along(const bp_atlas *atlas, size_t row, double place);
/* Volts that the supply holds in a row and state; NAN. */
double bp_atlas_supply(const bp_atlas *atlas, size_t row, size_t state);
/* The display's and meter's own standard deviation at this value, same unit. */
double bp_atlas_meter_sd(const bp_test *test, double value);

/* Sees to it that these tests have their cells in these rows (row 0 always); rows NULL: all. BP_OK;
 * BP_ERR_USAGE: one of the tests cannot be made (an action that is refused, no such thing),
 * BP_ERR_SOLVER, BP_ERR_MEMORY; see the report. Tests that share actions, instrument and state are
 * solved together: ask for many at once. */
bp_status bp_atlas_want(bp_atlas *atlas, const size_t *tests, size_t n, const size_t *rows,
                        size_t n_rows, bp_report *report);

/* The toleranced quantities, in the order of `moves`. */
const bp_spread *bp_atlas_spreads(const bp_atlas *atlas, size_t *n);

#endif
