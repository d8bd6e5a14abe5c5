/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The rows of an atlas: every fault over its grid of severities, finer where readings bend or a
 * relay or fuse changes over.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"

/* A stretch between two severities is halved while a straight line between their readings is
 * thought to be off by more than this, V. The curve that is really laid through them
 * (bp_atlas_between) is then off by an eighth of it or so, less than a meter's own spread. */
#define MOST_BEND 0.1
/* With nothing beside it to tell the bend by: when the readings differ by more than this, V. */
#define MOST_STEP 0.5
/* Rounds of halving: a change-over is then known to a quarter of a step of the grid. */
enum { ROUNDS = 2 };

typedef struct drafts {
    bp_draft *draft;
    size_t n, room;
} drafts;

static bool add(drafts *d, size_t fault, double severity) {
    if (d->n == d->room) {
        const size_t room = 2 * d->room + 256;
        bp_draft *more = realloc(d->draft, room * sizeof *more);
        if (!more)
            return false;
        d->draft = more;
        d->room = room;
    }
    d->draft[d->n++] = (bp_draft){.fault = fault, .severity = severity, .share = 1};
    return true;
}

double bp_atlas_scale(const bp_atlas *a, size_t fault, double severity) {
    const bp_mode_decl *mode = bp_fault_mode(a->circuit, &a->fault[fault].fault);
    return mode->scale == BP_SCALE_LOG ? log(severity) : severity;
}

static double between(const bp_atlas *a, size_t fault, double low, double high) {
    const bp_mode_decl *mode = bp_fault_mode(a->circuit, &a->fault[fault].fault);
    return mode->scale == BP_SCALE_LOG ? sqrt(low * high) : (low + high) / 2;
}

static bool first_rows(bp_atlas *a, drafts *d) {
    bool good = add(d, BP_NONE, NAN);
    for (size_t f = 0; f < a->n_faults && good; f++) {
        double grid[BP_FAULT_MOST_GRID];
        const size_t n = bp_fault_grid(a->circuit, &a->fault[f].fault, grid);
        for (size_t i = 0; i < n && good; i++)
            good = add(d, f, grid[i]);
    }
    return good;
}

static int by_place(const void *x, const void *y) {
    const bp_draft *a = x, *b = y;
    const size_t fa = a->fault + 1, fb = b->fault + 1; /* healthy (BP_NONE) becomes 0 */
    if (fa != fb)
        return fa < fb ? -1 : 1;
    if (a->severity != b->severity && !isnan(a->severity))
        return a->severity < b->severity ? -1 : 1;
    return a->share != b->share ? (a->share > b->share ? -1 : 1) : 0;
}

static bool same_condition(const bp_atlas *a, const bp_draft *x, const bp_draft *y) {
    return x->look.volts && y->look.volts &&
           bp_look_condition(a, &x->look) == bp_look_condition(a, &y->look);
}

static bool is_number(const bp_look *look, size_t i) {
    return (look->sort[i] & ~BP_CELL_FIRM) == BP_CELL_VALUE;
}

/* Largest step of any reading from one case to the next. */
static double step(const bp_atlas *a, const bp_look *x, const bp_look *y) {
    double most = 0;
    for (size_t i = 0; i < a->circuit->n_states * a->n_places; i++)
        if (is_number(x, i) && is_number(y, i))
            most = fmax(most, fabs(x->volts[i] - y->volts[i]));
    return most;
}

/* How far a straight line across the stretch x-y may be off, by its curvature over x, y and z. */
static double bend(const bp_atlas *a, const bp_draft *x, const bp_draft *y, const bp_draft *z,
                   double stretch) {
    const double h =
        bp_atlas_scale(a, y->fault, y->severity) - bp_atlas_scale(a, x->fault, x->severity);
    const double k =
        bp_atlas_scale(a, z->fault, z->severity) - bp_atlas_scale(a, y->fault, y->severity);
    double most = 0;
    for (size_t i = 0; i < a->circuit->n_states * a->n_places; i++) {
        if (!is_number(&x->look, i) || !is_number(&y->look, i) || !is_number(&z->look, i))
            continue;
        const double second = 2 *
                              ((z->look.volts[i] - y->look.volts[i]) / k -
                               (y->look.volts[i] - x->look.volts[i]) / h) /
                              (h + k);
        most = fmax(most, fabs(second) * stretch * stretch / 8);
    }
    return most;
}

/* Is something between draft i and the next that the two do not tell? */
static bool needs_halving(const bp_atlas *a, const drafts *d, size_t i) {
    const bp_draft *x = &d->draft[i], *y = &d->draft[i + 1];
    if (x->fault != y->fault || x->fault == BP_NONE || !x->look.volts || !y->look.volts)
        return false;
    if (!same_condition(a, x, y))
        return true;
    const double stretch =
        bp_atlas_scale(a, y->fault, y->severity) - bp_atlas_scale(a, x->fault, x->severity);
    const bp_draft *before =
        i > 0 && x[-1].fault == x->fault && same_condition(a, &x[-1], x) ? &x[-1] : NULL;
    const bp_draft *after =
        i + 2 < d->n && y[1].fault == y->fault && same_condition(a, &y[1], y) ? &y[1] : NULL;
    if (!before && !after)
        return step(a, &x->look, &y->look) > MOST_STEP;
    return (before && bend(a, before, x, y, stretch) > MOST_BEND) ||
           (after && bend(a, x, y, after, stretch) > MOST_BEND);
}

static bp_status refine(bp_atlas *a, drafts *d, bp_report *report) {
    const size_t before = d->n;
    for (size_t i = 0; i + 1 < before; i++)
        if (needs_halving(a, d, i) &&
            !add(d, d->draft[i].fault,
                 between(a, d->draft[i].fault, d->draft[i].severity, d->draft[i + 1].severity)))
            return BP_ERR_MEMORY;
    const bp_status status = bp_atlas_solve(a, d->draft + before, d->n - before, report);
    qsort(d->draft, d->n, sizeof *d->draft, by_place);
    return status;
}

/* Cases without any solution are no rows. */
static bool settle_rows(bp_atlas *a, drafts *d) {
    a->row = calloc(d->n + 1, sizeof *a->row);
    a->look = calloc(d->n + 1, sizeof *a->look);
    a->n_rows = 0;
    for (size_t i = 0; i < d->n && a->row && a->look; i++) {
        if (!d->draft[i].look.volts)
            continue;
        a->row[a->n_rows] = (bp_atlas_row){.fault = d->draft[i].fault,
                                           .severity = d->draft[i].severity,
                                           .share = d->draft[i].share,
                                           .next = BP_NONE,
                                           .before = BP_NONE};
        a->look[a->n_rows++] = d->draft[i].look;
        d->draft[i].look = (bp_look){0};
    }
    return a->row && a->look;
}

static void drafts_clear(drafts *d) {
    for (size_t i = 0; i < d->n; i++)
        bp_look_free(&d->draft[i].look);
    free(d->draft);
}

bp_status bp_atlas_make_rows(bp_atlas *a, bp_report *report) {
    drafts d = {0};
    bp_status status = first_rows(a, &d) ? bp_atlas_solve(a, d.draft, d.n, report) : BP_ERR_MEMORY;
    for (int i = 0; i < ROUNDS && status == BP_OK; i++)
        status = refine(a, &d, report);
    if (status == BP_OK && !d.draft[0].look.volts) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "the healthy circuit has no solution: nothing can be compared with it");
        status = BP_ERR_SOLVER;
    }
    if (status == BP_OK && !settle_rows(a, &d))
        status = BP_ERR_MEMORY;
    drafts_clear(&d);
    return status;
}
