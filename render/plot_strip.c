/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Above the panels: stretches of time as dimension lines, and instants that no trace shows.
 */
#include <math.h>
#include <stdio.h>

#include "render/plot_private.h"
#include "render/style.h"

static const double text_gap = 4, apart = 8, tick = 3;
enum { MOST_ROWS = 7 };

double bp_mark_line(bp_canvas *canvas, double x, double y, const bp_mark *mark, bool draw) {
    const struct {
        const char *text;
        const bp_font *font;
    } pieces[] = {{mark->words, &bp_font_small},
                  {mark->value, &bp_font_strong},
                  {mark->other, &bp_font_small}};
    double width = 0;
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++) {
        if (!pieces[i].text[0])
            continue;
        width += width > 0 ? text_gap : 0;
        const double drop = (bp_font_strong.size - pieces[i].font->size) * 0.94;
        if (draw)
            bp_text(canvas, x + width, y + drop, pieces[i].text, pieces[i].font, BP_LEFT, 0);
        width += bp_text_size(canvas, pieces[i].text, pieces[i].font, 0).w;
    }
    return width;
}

/* Where a mark's ends and its words stand. */
typedef struct stretch {
    double from, to;    /* of the line */
    double text, width; /* of the words */
    bool within;        /* the words stand on the line */
} stretch;

static stretch stretch_of(const bp_plot_plan *plan, const bp_mark *mark) {
    stretch s = {.from = fmax(bp_plot_x(plan, mark->at), plan->left),
                 .to = fmin(bp_plot_x(plan, mark->until), plan->right),
                 .width = bp_mark_line(plan->canvas, 0, 0, mark, false)};
    s.within = s.to - s.from > s.width + 4 * text_gap;
    if (s.within)
        s.text = (s.from + s.to - s.width) / 2;
    else if (s.to + text_gap + s.width <= plan->right)
        s.text = s.to + text_gap;
    else
        s.text = fmax(s.from - text_gap - s.width, plan->left);
    return s;
}

/* Would two marks in one row touch? */
static bool touch(const stretch *a, const stretch *b) {
    const double a1 = fmin(a->from, a->text), a2 = fmax(a->to, a->text + a->width);
    const double b1 = fmin(b->from, b->text), b2 = fmax(b->to, b->text + b->width);
    return a1 < b2 + apart && b1 < a2 + apart;
}

static bool is_free(const bp_plot_plan *plan, size_t mark, size_t row) {
    const stretch mine = stretch_of(plan, &plan->marks.above[mark]);
    for (size_t i = 0; i < mark; i++) {
        const stretch other = stretch_of(plan, &plan->marks.above[i]);
        if (plan->row[i] == row && touch(&mine, &other))
            return false;
    }
    return true;
}

void bp_strip_share(bp_plot_plan *plan) {
    plan->n_rows = 0;
    for (size_t i = 0; i < plan->marks.n_above; i++) {
        size_t row = 0;
        while (row < MOST_ROWS && !is_free(plan, i, row))
            row++;
        plan->row[i] = row;
        if (row < MOST_ROWS && row >= plan->n_rows)
            plan->n_rows = row + 1;
    }
}

static double row_y(const bp_plot_plan *plan, size_t row) {
    return plan->strip + BP_STRIP_ROW * (double)row;
}

static void hairline(const bp_plot_plan *plan, double x, double from) {
    static const double dots[] = {0.8, 2.2};
    const bp_panel *last = &plan->panel[plan->n_panels - 1];
    for (size_t i = 0; i < plan->n_panels; i++) {
        const bp_box room = plan->panel[i].room;
        bp_dashed(plan->canvas, x, room.y, x, room.y + room.h, 0.6, BP_GREY_TEXT, dots, 2);
    }
    bp_dashed(plan->canvas, x, from, x, plan->panel[0].head - 2, 0.6, BP_GREY_TEXT, dots, 2);
    bp_line(plan->canvas, x, last->room.y + last->room.h, x, last->room.y + last->room.h + 2, 0.6,
            BP_GREY_TEXT);
}

void bp_strip_hairlines(const bp_plot_plan *plan) {
    for (size_t i = 0; i < plan->marks.n_above; i++) {
        if (plan->row[i] >= plan->n_rows)
            continue;
        const stretch s = stretch_of(plan, &plan->marks.above[i]);
        const double y = row_y(plan, plan->row[i]) + BP_STRIP_ROW / 2;
        hairline(plan, s.from, y);
        if (s.to - s.from > 0.5)
            hairline(plan, s.to, y);
    }
}

static void draw_line(const bp_plot_plan *plan, const stretch *s, double y) {
    bp_canvas *canvas = plan->canvas;
    if (s->to - s->from < 0.5) {
        const double mark[][2] = {
            {s->from - 2.4, y - 2.4}, {s->from + 2.4, y - 2.4}, {s->from, y + 2}};
        bp_polygon(canvas, mark, 3, BP_INK_BLACK);
        return;
    }
    bp_line(canvas, s->from, y - tick, s->from, y + tick, 0.8, BP_INK_BLACK);
    bp_line(canvas, s->to, y - tick, s->to, y + tick, 0.8, BP_INK_BLACK);
    if (!s->within) {
        bp_line(canvas, s->from, y, s->to, y, 0.8, BP_INK_BLACK);
        return;
    }
    bp_line(canvas, s->from, y, s->text - text_gap, y, 0.8, BP_INK_BLACK);
    bp_line(canvas, s->text + s->width + text_gap, y, s->to, y, 0.8, BP_INK_BLACK);
}

void bp_strip_draw(const bp_plot_plan *plan) {
    const double height = bp_text_size(plan->canvas, "g", &bp_font_strong, 0).h;
    for (size_t i = 0; i < plan->marks.n_above; i++) {
        if (plan->row[i] >= plan->n_rows)
            continue;
        const bp_mark *mark = &plan->marks.above[i];
        const stretch s = stretch_of(plan, mark);
        const double y = row_y(plan, plan->row[i]) + BP_STRIP_ROW / 2;
        const bp_box under = {s.text - 1, y - height / 2, s.width + 2, height};
        bp_rect(plan->canvas, under, 0, 0, BP_PAPER_WHITE, true, BP_PAPER_WHITE);
        draw_line(plan, &s, y);
        bp_mark_line(plan->canvas, s.text, y - height / 2, mark, true);
    }
}
