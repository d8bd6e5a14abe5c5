/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the rows of one fault hang together over its severities, and what lies between two of them.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_interp.h>

#include "diagnose/atlas_parts.h"

/* A run of rows of one fault at one severity (several where there are humps). */
typedef struct level {
    size_t first, n;
} level;

static level level_at(const bp_atlas *a, size_t row) {
    level l = {row, 0};
    while (row + l.n < a->n_rows && a->row[row + l.n].fault == a->row[row].fault &&
           (l.n == 0 || a->row[row + l.n].severity == a->row[row].severity))
        l.n++;
    return l;
}

/* Shares out the severities between two levels: each settled condition has its own stretch; one
 * that ends here stands for half of it. */
static void link_levels(bp_atlas *a, level low, level high, double part) {
    for (size_t i = low.first; i < low.first + low.n; i++)
        for (size_t k = high.first; k < high.first + high.n && a->row[i].next == BP_NONE; k++)
            if (a->row[k].before == BP_NONE &&
                bp_look_condition(a, &a->look[i]) == bp_look_condition(a, &a->look[k])) {
                a->row[i].next = k;
                a->row[k].before = i;
                a->row[i].mass_next = part * (a->row[i].share + a->row[k].share) / 2;
            }
    for (size_t i = low.first; i < low.first + low.n; i++)
        if (a->row[i].next == BP_NONE)
            a->row[i].mass += part * a->row[i].share / 2;
    for (size_t k = high.first; k < high.first + high.n; k++)
        if (a->row[k].before == BP_NONE)
            a->row[k].mass += part * a->row[k].share / 2;
}

static void link_fault(bp_atlas *a, size_t fault) {
    const size_t first = a->first_row[fault], end = first + a->n_of[fault];
    level low = level_at(a, first);
    const double least = bp_atlas_scale(a, fault, a->row[first].severity);
    const double range = bp_atlas_scale(a, fault, a->row[end - 1].severity) - least;
    for (size_t i = first; i < first + low.n && !(range > 0); i++)
        a->row[i].mass = a->row[i].share;
    while (range > 0 && low.first + low.n < end) {
        const level high = level_at(a, low.first + low.n);
        const double part = (bp_atlas_scale(a, fault, a->row[high.first].severity) -
                             bp_atlas_scale(a, fault, a->row[low.first].severity)) /
                            range;
        link_levels(a, low, high, part);
        low = high;
    }
}

static bool behaves_otherwise(const bp_atlas *a, size_t row) {
    return memcmp(a->look[row].says, a->look[0].says, a->circuit->n_states * a->circuit->n_parts) !=
           0;
}

static bool reads_otherwise(const bp_atlas *a, size_t row) {
    const bp_look *good = &a->look[0], *look = &a->look[row];
    static const bp_test volts = BP_TEST_INIT;
    for (size_t i = 0; i < a->circuit->n_states * a->n_places; i++) {
        const bool number = (look->sort[i] & ~BP_CELL_FIRM) == BP_CELL_VALUE;
        if (number != ((good->sort[i] & ~BP_CELL_FIRM) == BP_CELL_VALUE))
            return true;
        if (!number)
            continue;
        const float *moves =
            bp_atlas_kin_moves(a, a->kin[i / a->n_places], i % a->n_places); /* row 0 */
        double variance = pow(bp_atlas_meter_sd(&volts, good->volts[i]), 2);
        for (size_t q = 0; moves && q < a->n_spreads; q++)
            variance += (double)moves[q] * (double)moves[q];
        if (fabs(look->volts[i] - good->volts[i]) > BP_SIGMAS_95 * sqrt(variance))
            return true;
    }
    return false;
}

static void find_telling(bp_atlas *a) {
    bool any = false;
    for (size_t r = 1; r < a->n_rows; r++) {
        a->row[r].telling = behaves_otherwise(a, r);
        any = any || a->row[r].telling;
    }
    for (size_t r = 1; r < a->n_rows && !any; r++)
        a->row[r].telling = reads_otherwise(a, r);
}

bool bp_atlas_link_rows(bp_atlas *a) {
    a->first_row = calloc(a->n_faults + 1, sizeof *a->first_row);
    a->n_of = calloc(a->n_faults + 1, sizeof *a->n_of);
    if (!a->first_row || !a->n_of)
        return false;
    for (size_t r = 0; r < a->n_rows; r++) {
        bp_atlas_row *row = &a->row[r];
        row->next = row->before = BP_NONE;
        row->mass = row->fault == BP_NONE ? row->share : 0;
        row->mass_next = 0;
        if (row->fault != BP_NONE && a->n_of[row->fault]++ == 0)
            a->first_row[row->fault] = r;
    }
    for (size_t f = 0; f < a->n_faults; f++)
        if (a->n_of[f] > 0)
            link_fault(a, f);
    find_telling(a);
    return true;
}

double bp_atlas_severity_along(const bp_atlas *a, size_t row, double place) {
    const bp_atlas_row *low = &a->row[row];
    if (low->next == BP_NONE || place <= 0)
        return low->severity;
    const double x = bp_atlas_scale(a, low->fault, low->severity);
    const double y = bp_atlas_scale(a, low->fault, a->row[low->next].severity);
    const bp_mode_decl *mode = bp_fault_mode(a->circuit, &a->fault[low->fault].fault);
    const double at = x + place * (y - x);
    return mode->scale == BP_SCALE_LOG ? exp(at) : at;
}

/* The test's values at the row, its next, and one more on either side where there is one. */
static size_t gather(const bp_atlas *a, size_t row, size_t test, double x[4], double y[4],
                     size_t *own) {
    const size_t next = a->row[row].next;
    const size_t around[4] = {a->row[row].before, row, next, a->row[next].next};
    size_t n = 0;
    for (int i = 0; i < 4; i++) {
        if (around[i] == BP_NONE)
            continue;
        const bp_cell cell = bp_atlas_cell(a, around[i], test);
        if (cell.sort != BP_CELL_VALUE) {
            if (i == 1 || i == 2)
                return 0;
            continue;
        }
        if (i == 1)
            *own = n;
        x[n] = bp_atlas_scale(a, a->row[row].fault, a->row[around[i]].severity);
        y[n++] = cell.value;
    }
    return n;
}

bool bp_atlas_along(const bp_atlas *a, size_t row, size_t test, const double *places, size_t n,
                    double *values) {
    double x[4], y[4];
    size_t own = 0;
    const size_t known = a->row[row].next == BP_NONE ? 0 : gather(a, row, test, x, y, &own);
    if (known == 0)
        return false;
    /* Steffen's interpolation follows the curve and never overshoots; with two points a line. */
    gsl_interp *curve = gsl_interp_alloc(known > 2 ? gsl_interp_steffen : gsl_interp_linear, known);
    if (!curve)
        return false;
    gsl_interp_init(curve, x, y, known);
    for (size_t i = 0; i < n; i++)
        values[i] = gsl_interp_eval(
            curve, x, y, fmin(x[own] + places[i] * (x[own + 1] - x[own]), x[own + 1]), NULL);
    gsl_interp_free(curve);
    return true;
}
