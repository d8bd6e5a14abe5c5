/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/curve.h"

#include <math.h>
#include <stdlib.h>

/* Samples nearer to each other, across, share one column of paper: 1/300 inch, a printer's dot,
 * points. */
static const double dot = 0.24;

typedef struct thinning {
    bp_curve *curve;
    const double (*at)[2];        /* all samples in page coordinates, NAN where there is a gap */
    size_t first, last, top, low; /* of the dot at hand */
    bool open, joined;
} thinning;

static void keep(thinning *t, size_t sample, bool joined) {
    bp_curve *c = t->curve;
    c->xy[c->n][0] = t->at[sample][0];
    c->xy[c->n][1] = t->at[sample][1];
    c->joined[c->n++] = joined;
}

/* First, lowest, highest and last sample of a dot, each once, in the order of time. */
static void close_dot(thinning *t) {
    if (!t->open)
        return;
    const size_t a = t->top < t->low ? t->top : t->low, b = t->top < t->low ? t->low : t->top;
    keep(t, t->first, t->joined);
    if (a != t->first)
        keep(t, a, true);
    if (b != t->first && b != a)
        keep(t, b, true);
    if (t->last != b && t->last != t->first)
        keep(t, t->last, true);
    t->open = false;
    t->joined = true;
}

static void thin(thinning *t, size_t n) {
    for (size_t i = 0; i < n; i++) {
        if (isnan(t->at[i][1])) {
            close_dot(t);
            t->joined = false;
            continue;
        }
        if (t->open && t->at[i][0] - t->at[t->first][0] > dot)
            close_dot(t);
        if (!t->open) {
            t->first = t->top = t->low = i;
            t->open = true;
        }
        t->last = i;
        t->top = t->at[i][1] < t->at[t->top][1] ? i : t->top;
        t->low = t->at[i][1] > t->at[t->low][1] ? i : t->low;
    }
    close_dot(t);
}

static size_t column_of(const bp_curve *c, double x) {
    const double column = floor((x - c->room.x) / BP_CURVE_COLUMN);
    return column < 0 ? 0 : column >= (double)c->n_columns ? c->n_columns - 1 : (size_t)column;
}

static void ink_column(bp_curve *c, size_t column, double y) {
    c->highest[column] = fmin(c->highest[column], y);
    c->lowest[column] = fmax(c->lowest[column], y);
}

/* Ink of the straight line from a to b in every column that it passes. */
static void ink_line(bp_curve *c, const double a[2], const double b[2]) {
    const size_t from = column_of(c, a[0]), to = column_of(c, b[0]);
    ink_column(c, from, a[1]);
    ink_column(c, to, b[1]);
    for (size_t i = from; i < to; i++) {
        const double edge = c->room.x + BP_CURVE_COLUMN * (double)(i + 1);
        const double y = a[1] + (b[1] - a[1]) * (edge - a[0]) / (b[0] - a[0]);
        ink_column(c, i, y);
        ink_column(c, i + 1, y);
    }
}

static void ink_all(bp_curve *c) {
    for (size_t i = 0; i < c->n_columns; i++) {
        c->highest[i] = INFINITY;
        c->lowest[i] = -INFINITY;
    }
    for (size_t i = 0; i < c->n; i++)
        ink_line(c, c->xy[c->joined[i] ? i - 1 : i], c->xy[i]);
}

bool bp_curve_make(bp_curve *curve, const double *time, const double *value, size_t n,
                   const bp_axis *across, const bp_axis *up, bp_box room) {
    *curve = (bp_curve){.room = room, .n_columns = (size_t)ceil(room.w / BP_CURVE_COLUMN)};
    double(*at)[2] = calloc(n + 1, sizeof *at);
    curve->xy = calloc(n + 1, sizeof *curve->xy);
    curve->joined = calloc(n + 1, sizeof *curve->joined);
    curve->highest = calloc(curve->n_columns + 1, sizeof *curve->highest);
    curve->lowest = calloc(curve->n_columns + 1, sizeof *curve->lowest);
    const bool good = at && curve->xy && curve->joined && curve->highest && curve->lowest;
    for (size_t i = 0; i < n && good; i++) {
        const bool drawable = fabs(value[i]) <= BP_AXIS_MOST;
        at[i][0] = room.x + room.w * bp_axis_share(across, time[i]);
        at[i][1] = drawable ? room.y + room.h * (1 - bp_axis_share(up, value[i])) : NAN;
    }
    if (good) {
        thinning t = {.curve = curve, .at = (const double(*)[2])at};
        thin(&t, n);
        ink_all(curve);
    }
    free(at);
    return good;
}

void bp_curve_clear(bp_curve *curve) {
    free(curve->xy);
    free(curve->joined);
    free(curve->highest);
    free(curve->lowest);
    *curve = (bp_curve){0};
}

bool bp_curve_meets(const bp_curve *curve, bp_box box, double clearance) {
    const double left = box.x - clearance, right = box.x + box.w + clearance;
    if (right < curve->room.x || left > curve->room.x + curve->room.w || curve->n_columns == 0)
        return false;
    const size_t to = column_of(curve, right);
    for (size_t i = column_of(curve, left); i <= to; i++)
        if (curve->highest[i] < box.y + box.h + clearance && curve->lowest[i] > box.y - clearance)
            return true;
    return false;
}

/* Eight patterns of dashes, each at two widths, points. */
double bp_curve_style(size_t style, const double **dash, size_t *n) {
    static const struct {
        double dash[6];
        size_t n;
    } patterns[BP_CURVE_STYLES / 2] = {
        {{0}, 0},        {{6, 2.6}, 2},
        {{1.3, 1.9}, 2}, {{9, 2.2, 1.4, 2.2}, 4},
        {{3.2, 1.6}, 2}, {{9, 2, 1.4, 2, 1.4, 2}, 6},
        {{12, 4}, 2},    {{4, 1.6, 1.2, 1.6}, 4},
    };
    const size_t pattern = style % (BP_CURVE_STYLES / 2);
    *dash = patterns[pattern].dash;
    *n = patterns[pattern].n;
    return style < BP_CURVE_STYLES / 2 ? 1.15 : 2;
}

static const double behind_wider = 2.4; /* of the good curve, points */

static void stroke(bp_canvas *canvas, const double (*xy)[2], size_t n, size_t style, bool behind) {
    const double *dash;
    size_t n_dash;
    const double width = bp_curve_style(style, &dash, &n_dash);
    bp_polydash(canvas, xy, n, width + (behind ? behind_wider : 0),
                behind ? BP_GREY_RULE : BP_ACCENT, dash, n_dash);
}

void bp_curve_draw(bp_canvas *canvas, const bp_curve *curve, size_t style, bool behind) {
    for (size_t from = 0, to; from < curve->n; from = to) {
        for (to = from + 1; to < curve->n && curve->joined[to]; to++)
            ;
        stroke(canvas, (const double(*)[2])curve->xy + from, to - from, style, behind);
    }
}

void bp_curve_sample(bp_canvas *canvas, double x, double y, double width, size_t style,
                     bool behind) {
    const double xy[][2] = {{x, y}, {x + width, y}};
    stroke(canvas, xy, 2, style, behind);
}

/* Columns that differ by less are noted as one, points: a flat stretch is one entry. */
static const double alike = 0.3;

void bp_curve_note(bp_canvas *canvas, const bp_curve *curve, const char *label) {
    const double right = curve->room.x + curve->room.w;
    for (size_t i = 0, to; i < curve->n_columns; i = to) {
        const double high = curve->highest[i], low = curve->lowest[i];
        to = i + 1;
        if (high > low)
            continue;
        while (to < curve->n_columns && fabs(curve->highest[to] - high) < alike &&
               fabs(curve->lowest[to] - low) < alike)
            to++;
        bp_ledger_wire(canvas, curve->room.x + BP_CURVE_COLUMN * (double)i, high,
                       fmin(curve->room.x + BP_CURVE_COLUMN * (double)to, right), low, label);
    }
}
