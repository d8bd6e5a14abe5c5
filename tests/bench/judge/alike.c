/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which faults no test ever parts: somewhere among the degrees at which each is noticed they read
 * alike, within two standard deviations, wherever one looks. Compared are all degrees of the atlas,
 * and, where both are measured in the same unit, one degree with the same of the other.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "tests/bench/judge/trial.h"

/* What every row shows on every test, and how far good parts and the meter let it stray. */
typedef struct shown {
    const court *k;
    bp_cell *cell; /* by row, test of the court */
    double *sd;
} shown;

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

static bool shown_make(const court *k, shown *s) {
    size_t n_spreads;
    const size_t n = bp_atlas_n_rows(k->atlas) * k->n_tests;
    bp_atlas_spreads(k->atlas, &n_spreads);
    double *moves = calloc(n_spreads + 1, sizeof *moves);
    *s = (shown){k, calloc(n + 1, sizeof *s->cell), calloc(n + 1, sizeof *s->sd)};
    for (size_t i = 0; moves && s->cell && s->sd && i < n; i++) {
        const size_t row = i / k->n_tests, test = k->test[i % k->n_tests];
        s->cell[i] = bp_atlas_cell(k->atlas, row, test);
        if (s->cell[i].sort == BP_CELL_VALUE)
            s->sd[i] = spread_of(k->atlas, row, test, s->cell[i].value, moves);
    }
    const bool good = moves && s->cell && s->sd;
    free(moves);
    return good;
}

static bool tells_nothing(bp_cell_sort sort) {
    return sort == BP_CELL_MISSING || sort == BP_CELL_NONE;
}

/* At a place on the stretch from the other row: its values are compared there. */
static bool same_on(const shown *s, size_t t, size_t row, size_t other, double place) {
    const bp_atlas *a = s->k->atlas;
    const size_t n = s->k->n_tests;
    const size_t there = place > 0.5 ? bp_atlas_row_at(a, other)->next : other;
    const bp_cell *x = &s->cell[row * n + t], *y = &s->cell[there * n + t];
    double value = y->value;
    if (tells_nothing(x->sort) || tells_nothing(y->sort))
        return true;
    if (x->sort != y->sort)
        return false;
    if (x->sort == BP_CELL_SAYS)
        return strcmp(x->says, y->says) == 0;
    if (x->sort != BP_CELL_VALUE)
        return true;
    if (place > 0)
        bp_atlas_along(a, other, s->k->test[t], &place, 1, &value);
    return fabs(x->value - value) <= 2 * fmax(s->sd[row * n + t], s->sd[there * n + t]);
}

static bool rows_alike(const shown *s, size_t row, size_t other, double place) {
    for (size_t t = 0; t < s->k->n_tests; t++)
        if (!same_on(s, t, row, other, place))
            return false;
    return true;
}

/* Where along the stretch from a row to its next a severity lies; negative: not on it. */
static double place_of(const bp_atlas *a, size_t row, double severity) {
    const size_t next = bp_atlas_row_at(a, row)->next;
    double low = 0, high = 1;
    if (next == BP_NONE || !(bp_atlas_row_at(a, row)->severity < severity) ||
        !(severity < bp_atlas_row_at(a, next)->severity))
        return -1;
    for (int i = 0; i < 30; i++) {
        const double middle = (low + high) / 2;
        *(bp_atlas_severity_along(a, row, middle) < severity ? &low : &high) = middle;
    }
    return (low + high) / 2;
}

static bool same_unit(const bp_atlas *a, size_t fault, size_t other) {
    const bp_circuit *c = bp_atlas_circuit(a);
    const bp_mode_decl *m = bp_fault_mode(c, &bp_atlas_fault(a, fault)->fault);
    return m->unit == bp_fault_mode(c, &bp_atlas_fault(a, other)->fault)->unit;
}

static bool alike(const shown *s, size_t fault, size_t other) {
    const bp_atlas *a = s->k->atlas;
    const bool units = same_unit(a, fault, other);
    size_t n, m;
    const size_t first = bp_atlas_first_row(a, fault, &n), start = bp_atlas_first_row(a, other, &m);
    for (size_t i = first; i < first + n; i++) {
        const bp_atlas_row *r = bp_atlas_row_at(a, i);
        for (size_t j = start; r->noticed > 0 && j < start + m; j++) {
            if (!(bp_atlas_row_at(a, j)->noticed > 0))
                continue;
            if (rows_alike(s, i, j, 0))
                return true;
            const double place = units ? place_of(a, j, r->severity) : -1;
            if (place > 0 && rows_alike(s, i, j, place))
                return true;
        }
    }
    return false;
}

static void join(size_t *class_of, size_t n, size_t x, size_t y) {
    const size_t from = class_of[x], to = class_of[y];
    for (size_t k = 0; k < n; k++)
        if (class_of[k] == from)
            class_of[k] = to;
}

/* Single linkage. */
bool court_link(const court *k, size_t *class_of) {
    const size_t n = bp_atlas_n_faults(k->atlas);
    shown s;
    const bool good = shown_make(k, &s);
    for (size_t x = 0; good && x < n; x++)
        for (size_t y = 0; y < n; y++)
            if (class_of[x] != class_of[y] && alike(&s, x, y))
                join(class_of, n, x, y);
    free(s.cell);
    free(s.sd);
    return good;
}
