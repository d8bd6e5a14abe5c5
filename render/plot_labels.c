/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names of points on a curve. Each looks around its point, farther and farther, for a place where
 * it covers no curve, no other name and no leader of one.
 */
#include <math.h>
#include <string.h>

#include "render/plot_private.h"
#include "render/style.h"

static const double off_curve = 2, off_label = 3, dot = 1.7;
static const double own = 8; /* so near to its point a leader may touch the curve */

typedef struct label {
    const bp_mark *mark;
    double x, y; /* the point */
    double line; /* height of its first line; 0: there is one line only */
    bp_box box;
    bool placed;
    double end[2]; /* where the leader meets the box */
} label;

typedef struct search {
    const bp_plot_plan *plan;
    const bp_panel *panel;
    label labels[BP_PLOT_MOST_MARKS];
    size_t n;
    bool over_hairlines, clear; /* clear: its leader crosses no curve */
} search;

static bool overlap(bp_box a, bp_box b, double clearance) {
    return a.x < b.x + b.w + clearance && b.x < a.x + a.w + clearance &&
           a.y < b.y + b.h + clearance && b.y < a.y + a.h + clearance;
}

/* Does the line between two points run through the box? Looked at in steps of a point. */
static bool runs_through(double x1, double y1, double x2, double y2, bp_box box) {
    const double length = hypot(x2 - x1, y2 - y1);
    for (double at = 0; at <= length; at += 1) {
        const double x = x1 + (x2 - x1) * at / fmax(length, 1);
        const double y = y1 + (y2 - y1) * at / fmax(length, 1);
        if (x > box.x - 1 && x < box.x + box.w + 1 && y > box.y - 1 && y < box.y + box.h + 1)
            return true;
    }
    return false;
}

static bool meets_curve(const search *s, bp_box box) {
    for (size_t i = 0; i < s->panel->n; i++)
        for (size_t k = 0; k < 2; k++) {
            const bp_curve *curve = &s->plan->curve[s->panel->trace[i]][k];
            if (curve->n > 0 && bp_curve_meets(curve, box, off_curve))
                return true;
        }
    return false;
}

/* Does the leader run over a curve, its own point aside? */
static bool leader_meets_curve(const search *s, const label *l) {
    const double length = hypot(l->end[0] - l->x, l->end[1] - l->y);
    for (double at = own; at < length; at += 2) {
        const double x = l->x + (l->end[0] - l->x) * at / length;
        const double y = l->y + (l->end[1] - l->y) * at / length;
        if (meets_curve(s, (bp_box){x, y, 0, 0}))
            return true;
    }
    return false;
}

static bool meets_hairline(const search *s, bp_box box) {
    const bp_plot_plan *plan = s->plan;
    for (size_t i = 0; i < plan->marks.n_above; i++) {
        const double ends[] = {plan->marks.above[i].at, plan->marks.above[i].until};
        for (size_t k = 0; k < 2; k++) {
            const double x = bp_plot_x(plan, ends[k]);
            if (plan->row[i] < plan->n_rows && x > box.x - 1 && x < box.x + box.w + 1)
                return true;
        }
    }
    return false;
}

static bool meets_labels(const search *s, const label *l) {
    for (size_t i = 0; i < s->n; i++) {
        const label *other = &s->labels[i];
        const bp_box point = {other->x - dot, other->y - dot, 2 * dot, 2 * dot};
        if (overlap(l->box, point, off_label))
            return true;
        if (other != l && other->placed &&
            (overlap(l->box, other->box, off_label) ||
             runs_through(other->x, other->y, other->end[0], other->end[1], l->box) ||
             runs_through(l->x, l->y, l->end[0], l->end[1], other->box)))
            return true;
    }
    return false;
}

static bool is_good(const search *s, const label *l) {
    const bp_box room = s->panel->room, box = l->box;
    return box.x >= room.x + 2 && box.y >= room.y + 1 && box.x + box.w <= room.x + room.w &&
           box.y + box.h <= room.y + room.h - 2 && !meets_curve(s, box) && !meets_labels(s, l) &&
           (s->over_hairlines || !meets_hairline(s, box)) &&
           (!s->clear || !leader_meets_curve(s, l));
}

/* Puts the label in a direction from its point, its nearest edge `far` away. */
static void put(label *l, double angle, double far) {
    const double cx = cos(angle), cy = sin(angle);
    l->box.x = l->x + cx * (far + l->box.w / 2) - l->box.w / 2;
    l->box.y = l->y + cy * (far + l->box.h / 2) - l->box.h / 2;
    l->end[0] = fmin(fmax(l->x, l->box.x), l->box.x + l->box.w);
    l->end[1] = fmin(fmax(l->y, l->box.y), l->box.y + l->box.h);
}

static bool find_place(search *s, label *l) {
    /* Beside it first, then above and below, in sixteenths of a turn clockwise from the right. */
    static const int turns[] = {0, 8, 15, 1, 9, 7, 14, 2, 10, 6, 13, 3, 11, 5, 12, 4};
    static const double distances[] = {7, 12, 18, 26, 36, 48, 62, 80, 100, 125, 150, 180, 220, 260};
    enum { N = sizeof distances / sizeof *distances, NEAR = 7 };
    /* Near it, then near it over a fine line, then anywhere: first where its leader is easy to
     * follow. */
    for (int pass = 0; pass < (l->mark->plain ? 3 : 4); pass++) {
        s->over_hairlines = pass > 0;
        s->clear = pass == 2;
        for (size_t d = 0; d < (pass < 2 ? NEAR : N); d++)
            for (size_t t = 0; t < sizeof turns / sizeof *turns; t++) {
                put(l, turns[t] * acos(-1) / 8, distances[d]);
                if (is_good(s, l))
                    return true;
            }
    }
    return false;
}

/* Value and what the good circuit has, on one line. */
static bp_mark second_line(const bp_mark *mark) {
    bp_mark line = *mark;
    line.words[0] = '\0';
    return line;
}

static void measure(const search *s, label *l) {
    bp_canvas *canvas = s->plan->canvas;
    const bp_mark line = second_line(l->mark);
    const bp_box words = bp_text_size(canvas, l->mark->words, &bp_font_small, 0);
    const bp_box value = bp_text_size(canvas, "0", &bp_font_strong, 0);
    l->line = words.h;
    l->box.w = fmax(words.w, bp_mark_line(canvas, 0, 0, &line, false));
    l->box.h = words.h + value.h;
}

static void draw(const search *s, const label *l) {
    bp_canvas *canvas = s->plan->canvas;
    const bp_mark line = second_line(l->mark);
    bp_rect(canvas, (bp_box){l->box.x - 1, l->box.y, l->box.w + 2, l->box.h}, 0, 0, BP_PAPER_WHITE,
            true, BP_PAPER_WHITE);
    const double far = hypot(l->end[0] - l->x, l->end[1] - l->y);
    if (far > 9) {
        const double upto = (far - off_label) / far;
        bp_line(canvas, l->x, l->y, l->x + (l->end[0] - l->x) * upto,
                l->y + (l->end[1] - l->y) * upto, 0.5, BP_INK_BLACK);
    }
    /* Words on the point's side of their box. */
    const bool left = l->box.x + l->box.w <= l->x;
    const double x = left ? l->box.x + l->box.w : l->box.x;
    bp_text(canvas, x, l->box.y, l->mark->words, &bp_font_small, left ? BP_RIGHT : BP_LEFT, 0);
    const double width = bp_mark_line(canvas, 0, 0, &line, false);
    bp_mark_line(canvas, left ? x - width : x, l->box.y + l->line, &line, true);
}

void bp_labels_draw(const bp_plot_plan *plan, const bp_panel *panel) {
    search s = {.plan = plan, .panel = panel};
    for (size_t i = 0; i < plan->marks.n_on_trace; i++) {
        const bp_mark *mark = &plan->marks.on_trace[i];
        for (size_t k = 0; k < panel->n && fabs(mark->height) <= BP_AXIS_MOST; k++)
            if (panel->trace[k] == mark->trace) {
                label *l = &s.labels[s.n++];
                *l = (label){.mark = mark, .x = bp_plot_x(plan, mark->at)};
                l->y =
                    panel->room.y + panel->room.h * (1 - bp_axis_share(&panel->axis, mark->height));
                measure(&s, l);
            }
    }
    for (size_t i = 0; i < s.n; i++)
        s.labels[i].placed = find_place(&s, &s.labels[i]);
    for (size_t i = 0; i < s.n; i++)
        if (s.labels[i].placed)
            draw(&s, &s.labels[i]);
    for (size_t i = 0; i < s.n; i++)
        if (s.labels[i].placed)
            bp_circle(plan->canvas, s.labels[i].x, s.labels[i].y, dot, 0.9, BP_INK_BLACK, true,
                      BP_PAPER_WHITE);
}
