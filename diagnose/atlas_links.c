/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the rows of one fault hang together over its severities, and what lies between two of them.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"
#include "diagnose/spline.h"

/* A run of rows of one fault at one severity (several where there are humps). */
typedef struct level {
    size_t first, n;
} level;

/* Of a mode without degrees all rows are of one. */
static bool same_severity(const bp_atlas_row *x, const bp_atlas_row *y) {
    return x->severity == y->severity || (isnan(x->severity) && isnan(y->severity));
}

static level level_at(const bp_atlas *a, size_t row) {
    level l = {row, 0};
    while (row + l.n < a->n_rows && a->row[row + l.n].fault == a->row[row].fault &&
           same_severity(&a->row[row + l.n], &a->row[row]))
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
    const double range = a->scale[end - 1] - a->scale[first];
    for (size_t i = first; i < first + low.n && !(range > 0); i++)
        a->row[i].mass = a->row[i].share;
    while (range > 0 && low.first + low.n < end) {
        const level high = level_at(a, low.first + low.n);
        const double part = (a->scale[high.first] - a->scale[low.first]) / range;
        link_levels(a, low, high, part);
        low = high;
    }
}

bool bp_atlas_link_rows(bp_atlas *a) {
    a->first_row = calloc(a->n_faults + 1, sizeof *a->first_row);
    a->n_of = calloc(a->n_faults + 1, sizeof *a->n_of);
    a->scale = calloc(a->n_rows + 1, sizeof *a->scale);
    if (!a->first_row || !a->n_of || !a->scale)
        return false;
    for (size_t r = 0; r < a->n_rows; r++) {
        bp_atlas_row *row = &a->row[r];
        row->next = row->before = BP_NONE;
        row->mass = row->fault == BP_NONE ? row->share : 0;
        row->mass_next = 0;
        if (row->fault == BP_NONE)
            continue;
        a->scale[r] = bp_atlas_scale(a, row->fault, row->severity);
        if (a->n_of[row->fault]++ == 0)
            a->first_row[row->fault] = r;
    }
    for (size_t f = 0; f < a->n_faults; f++)
        if (a->n_of[f] > 0)
            link_fault(a, f);
    return bp_atlas_find_noticed(a);
}

double bp_atlas_severity_along(const bp_atlas *a, size_t row, double place) {
    const bp_atlas_row *low = &a->row[row];
    if (low->next == BP_NONE || place <= 0)
        return low->severity;
    const double x = a->scale[row], y = a->scale[low->next];
    const bp_mode_decl *mode = bp_fault_mode(a->circuit, &a->fault[low->fault].fault);
    const double at = x + place * (y - x);
    return mode->scale == BP_SCALE_LOG ? exp(at) : at;
}

/* Rows on either side of a stretch that the curve is laid through. */
enum { BESIDE = 2 };
_Static_assert(2 * BESIDE + 2 <= BP_SPLINE_MOST, "a spline takes so many knots");

static bool add_knot(const bp_atlas *a, size_t row, size_t test, bp_spline *k) {
    const bp_cell cell =
        row == BP_NONE ? (bp_cell){BP_CELL_NONE, NAN, NULL} : bp_atlas_cell(a, row, test);
    if (cell.sort != BP_CELL_VALUE)
        return false;
    k->x[k->n] = a->scale[row];
    k->y[k->n++] = cell.value;
    return true;
}

/* The test's values at the row, its next, and more on either side where there are. *own: the knot
 * of the row. */
static bool gather(const bp_atlas *a, size_t row, size_t test, bp_spline *k, size_t *own) {
    size_t before[BESIDE], n = 0;
    for (size_t r = a->row[row].before; r != BP_NONE && n < BESIDE; r = a->row[r].before) {
        if (bp_atlas_cell(a, r, test).sort != BP_CELL_VALUE)
            break;
        before[n++] = r;
    }
    k->n = 0;
    while (n > 0)
        add_knot(a, before[--n], test, k);
    *own = k->n;
    size_t last = a->row[row].next;
    if (!add_knot(a, row, test, k) || !add_knot(a, last, test, k))
        return false;
    for (n = 0; n < BESIDE; n++) {
        last = a->row[last].next;
        if (!add_knot(a, last, test, k))
            break;
    }
    return true;
}

bool bp_atlas_along(const bp_atlas *a, size_t row, size_t test, const double *places, size_t n,
                    double *values) {
    bp_spline curve;
    size_t own;
    if (a->row[row].next == BP_NONE || !gather(a, row, test, &curve, &own))
        return false;
    bp_spline_lay(&curve);
    const double from = curve.x[own], to = curve.x[own + 1];
    for (size_t i = 0; i < n; i++)
        values[i] = bp_spline_at(&curve, own, from + places[i] * (to - from));
    return true;
}
