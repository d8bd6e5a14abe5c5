/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two faults equally bad: a resistance here and the same resistance there. Where no test parts them
 * by two standard deviations they are one class.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "tests/bench/judge/trial.h"

/* Where along the stretch from a row a severity lies. */
static double place_of(const bp_atlas *a, size_t row, double severity) {
    double low = 0, high = 1;
    for (int i = 0; i < 30; i++) {
        const double middle = (low + high) / 2;
        *(bp_atlas_severity_along(a, row, middle) < severity ? &low : &high) = middle;
    }
    return (low + high) / 2;
}

static double spread_of(const bp_atlas *a, size_t row, size_t test, double value, double *moves) {
    size_t n;
    double own = 0;
    bp_atlas_spreads(a, &n);
    bp_atlas_moves(a, row, test, moves, &own);
    const double meter = bp_atlas_meter_sd(bp_atlas_test(a, test), value);
    double sum = own * own + meter * meter;
    for (size_t q = 0; q < n; q++)
        sum += moves[q] * moves[q];
    return sqrt(sum);
}

static bool same_on(const bp_atlas *a, size_t test, size_t row, size_t other, double place,
                    double *moves) {
    const bp_cell x = bp_atlas_cell(a, row, test);
    bp_cell y = bp_atlas_cell(a, place > 0.5 ? bp_atlas_row_at(a, other)->next : other, test);
    if (x.sort == BP_CELL_MISSING || y.sort == BP_CELL_MISSING || x.sort == BP_CELL_NONE ||
        y.sort == BP_CELL_NONE)
        return true;
    if (x.sort != y.sort)
        return false;
    if (x.sort == BP_CELL_SAYS)
        return strcmp(x.says, y.says) == 0;
    if (x.sort != BP_CELL_VALUE)
        return true;
    bp_atlas_along(a, other, test, &place, 1, &y.value);
    return fabs(x.value - y.value) <= 2 * spread_of(a, row, test, x.value, moves);
}

bool court_alike(const court *k, size_t fault, size_t other) {
    const bp_atlas *a = k->atlas;
    size_t n_spreads, n, m;
    const size_t first = bp_atlas_first_row(a, fault, &n), start = bp_atlas_first_row(a, other, &m);
    bp_atlas_spreads(a, &n_spreads);
    double *moves = calloc(n_spreads + 1, sizeof *moves);
    bool found = false;
    for (size_t i = first; moves && i < first + n && !found; i++) {
        const bp_atlas_row *r = bp_atlas_row_at(a, i);
        for (size_t j = start; r->noticed > 0 && j < start + m && !found; j++) {
            const size_t next = bp_atlas_row_at(a, j)->next;
            if (next == BP_NONE || !(bp_atlas_row_at(a, j)->severity <= r->severity) ||
                !(r->severity <= bp_atlas_row_at(a, next)->severity))
                continue;
            const double place = place_of(a, j, r->severity);
            size_t t = 0;
            while (t < k->n_tests && same_on(a, k->test[t], i, j, place, moves))
                t++;
            found = t == k->n_tests;
        }
    }
    free(moves);
    return found;
}
