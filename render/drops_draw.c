/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of voltage drops. Lengths are true to a scale made for drops of tenths of a volt; what
 * is longer is shown broken, with its figure. What the load takes is drawn apart, as its share of
 * the supply.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/sheet_flow.h"
#include "render/style.h"

static const double pad = 6, row_pad = 2.6, bar_height = 4.2, sum_height = 13.5;

typedef struct plan {
    double red, black; /* widths of the chips */
    double spans;      /* x and width of what lies between */
    double spans_width;
    double bars, bars_width;
    double good, most, fault; /* right edges */
    bool scaled;              /* some bar goes by the scale */
    double full;              /* V at the end of the bars */
} plan;

static bool is_post(const bp_drop *drop, bool red) {
    return strchr(red ? drop->red : drop->black, ' ') != NULL;
}

static double wider(double a, double b) { return a > b ? a : b; }

/* Bars end a little beyond the largest drop allowed, on a whole tenth; a driver that may drop more
 * than the rest does not make their bars short. */
static double full_scale(const bp_drops *drops) {
    double most = 0.3;
    for (size_t i = 0; i < drops->n; i++)
        if (!drops->rows[i].load)
            most = wider(most, drops->rows[i].most);
    return fmin(ceil(most * 1.2 * 10 - 1e-9) / 10, 0.8);
}

static plan make_plan(bp_flow *flow) {
    const bp_drops *drops = &flow->facts->drops;
    plan p = {.full = full_scale(drops)};
    double spans = 0;
    for (size_t i = 0; i < drops->n; i++) {
        const bp_drop *d = &drops->rows[i];
        p.scaled = p.scaled || !d->load;
        p.red = wider(p.red, bp_chip(flow->canvas, 0, 0, d->red, is_post(d, true), false));
        p.black = wider(p.black, bp_chip(flow->canvas, 0, 0, d->black, is_post(d, false), false));
        spans = wider(spans, bp_text_size(flow->canvas, d->spans, &bp_font_small_strong, 0).w + 2);
    }
    p.spans = flow->left + p.red + p.black + 3 * pad;
    p.spans_width = fmin(wider(spans, 60), 128);
    p.fault = flow->right - pad;
    p.most = flow->facts->fault ? p.fault - 74 : p.fault;
    p.good = p.most - 66;
    p.bars = p.spans + p.spans_width + 2 * pad;
    p.bars_width = p.good - 46 - p.bars;
    return p;
}

static double to_x(const plan *p, double volts) {
    return p->bars + p->bars_width * fmin(fmax(volts / p->full, 0), 1);
}

static void draw_head(bp_flow *flow, const plan *p) {
    bp_canvas *canvas = flow->canvas;
    const bp_font *font = &bp_font_cell_quiet;
    double height = bp_text_size(canvas, "g", font, 0).h + 6, y = flow->y + 3;
    bp_box box = {flow->left, flow->y, flow->right - flow->left, height};
    bp_ledger_begin(canvas, BP_INK_FRAME, box, "head of the drops");
    bp_rect(canvas, box, 0, 0, BP_GREY_FILL, true, BP_GREY_FILL);
    bp_text(canvas, flow->left + 2, y, "red", font, BP_LEFT, 0);
    bp_text(canvas, flow->left + p->red + pad, y, "black", font, BP_LEFT, 0);
    bp_text(canvas, p->spans, y, "between them", font, BP_LEFT, 0);
    for (double v = 0; v < p->full + 1e-6 && p->scaled; v += 0.1) {
        char text[16];
        bool last = v + 0.1 > p->full + 1e-6;
        snprintf(text, sizeof text, last ? "%.1f V" : "%.1f", v);
        bool room = p->bars_width / p->full * 0.1 > 17 || fmod(v * 10 + 0.5, 2) < 1 || last;
        if (room)
            bp_text(canvas, to_x(p, v), y, text, font, BP_CENTRE, 0);
    }
    bp_text(canvas, p->good, y, "good", font, BP_RIGHT, 0);
    bp_text(canvas, p->most, y, "most allowed", font, BP_RIGHT, 0);
    if (flow->facts->fault)
        bp_text(canvas, p->fault, y, "with this fault", font, BP_RIGHT, 0);
    bp_ledger_end(canvas);
    bp_line(canvas, flow->left, flow->y + height, flow->right, flow->y + height, 0.8, BP_INK_BLACK);
    flow->y += height;
}

/* A bar from 0; cut with a break where it is longer than the scale. */
static void draw_bar(bp_flow *flow, const plan *p, double y, double volts, bp_colour colour) {
    double end = to_x(p, volts);
    bp_rect(flow->canvas, (bp_box){p->bars, y, wider(end - p->bars, 0.6), bar_height}, 0, 0, colour,
            true, colour);
    if (volts <= p->full)
        return;
    for (int i = 0; i < 2; i++) {
        double x = end - 12 + 4 * i;
        const double cut[][2] = {{x, y + bar_height + 0.6},
                                 {x + 3, y - 0.6},
                                 {x + 5, y - 0.6},
                                 {x + 2, y + bar_height + 0.6}};
        bp_polygon(flow->canvas, cut, 4, BP_PAPER_WHITE);
    }
}

/* The load's share of what the supply gives, each bar in an outline that stands for the whole. */
static void draw_share(bp_flow *flow, const plan *p, double y, double volts, double whole,
                       bp_colour colour) {
    double share = whole > 0 ? fmin(fmax(volts / whole, 0), 1) : 0;
    bp_rect(flow->canvas, (bp_box){p->bars, y, p->bars_width * share, bar_height}, 0, 0, colour,
            true, colour);
    bp_rect(flow->canvas, (bp_box){p->bars, y, p->bars_width, bar_height}, 0, 0.5, colour, false,
            colour);
}

static int drop_mark(const bp_drop *drop) {
    if (!drop->fault || drop->fault->status != BP_READING_OK)
        return 0;
    if (drop->load)
        return bp_reading_mark(drop->good, drop->fault);
    return drop->fault->value > drop->most ? 1 : 0;
}

static void draw_bars(bp_flow *flow, const plan *p, const bp_drop *drop, double y, double height) {
    const bp_drops *drops = &flow->facts->drops;
    bool fault = drop->fault != NULL;
    double top = y + height / 2 - (fault ? bar_height + 0.5 : bar_height / 2);
    bp_colour marked = drop_mark(drop) ? BP_ALARM : BP_ACCENT;
    if (drop->load) {
        draw_share(flow, p, top, drop->good->value, drops->sum_good,
                   fault ? BP_GREY_TEXT : BP_ACCENT);
        if (fault)
            draw_share(flow, p, top + bar_height + 1.4, drop->fault->value, drops->sum_fault,
                       marked);
        return;
    }
    for (double v = 0; v < p->full + 1e-6; v += 0.1)
        bp_line(flow->canvas, to_x(p, v), y, to_x(p, v), y + height, 0.4, BP_GREY_RULE);
    draw_bar(flow, p, top, drop->good->value, fault ? BP_GREY_TEXT : BP_ACCENT);
    if (fault)
        draw_bar(flow, p, top + bar_height + 1, drop->fault->value, marked);
    double limit = to_x(p, drop->most);
    if (drop->most <= p->full) /* else the figure says it */
        bp_line(flow->canvas, limit, y + 1.5, limit, y + height - 1.5, 1.6, BP_INK_BLACK);
}

static void draw_figures(bp_flow *flow, const plan *p, const bp_drop *drop, double y,
                         double height) {
    bp_canvas *canvas = flow->canvas;
    char text[64];
    double top = y + (height - bp_text_size(canvas, "0", &bp_font_cell, 0).h) / 2;
    bp_text(canvas, p->good, top, bp_reading_text(drop->good), &bp_font_cell, BP_RIGHT, 0);
    snprintf(text, sizeof text, "%.2f V", drop->most);
    bp_text(canvas, p->most, top, drop->load ? "what is left" : text, &bp_font_quiet, BP_RIGHT, 0);
    if (!drop->fault)
        return;
    int mark = drop_mark(drop);
    snprintf(text, sizeof text, "%s%s",
             mark > 0   ? "▲ "
             : mark < 0 ? "▼ "
                        : "",
             bp_reading_text(drop->fault));
    if (!mark) {
        bp_text(canvas, p->fault, top, text, &bp_font_cell, BP_RIGHT, 0);
        return;
    }
    bp_box box = {p->fault - 58, y + 1, 58 + pad - 1, height - 2};
    bp_ledger_begin(canvas, BP_INK_FRAME, box, text);
    bp_rect(canvas, box, 2, 1, BP_ALARM, true, BP_ALARM_FILL);
    bp_text(canvas, p->fault, top, text, &bp_font_cell_strong, BP_RIGHT, 0);
    bp_ledger_end(canvas);
}

static const bp_font *span_font(const bp_drop *drop) {
    return drop->load ? &bp_font_small_strong : &bp_font_small;
}

static double row_height(bp_flow *flow, const plan *p, const bp_drop *drop) {
    double spans = bp_text_size(flow->canvas, drop->spans, span_font(drop), p->spans_width).h;
    return wider(spans, BP_CHIP_HEIGHT) + 2 * row_pad;
}

static void draw_row(bp_flow *flow, const plan *p, const bp_drop *drop) {
    bp_canvas *canvas = flow->canvas;
    double y = flow->y, height = row_height(flow, p, drop);
    double chip = y + (height - BP_CHIP_HEIGHT) / 2;
    bp_chip(canvas, flow->left, chip, drop->red, is_post(drop, true), true);
    bp_chip(canvas, flow->left + p->red + pad, chip, drop->black, is_post(drop, false), true);
    double spans = bp_text_size(canvas, drop->spans, span_font(drop), p->spans_width).h;
    bp_text(canvas, p->spans, y + (height - spans) / 2, drop->spans, span_font(drop), BP_LEFT,
            p->spans_width);
    draw_bars(flow, p, drop, y, height);
    draw_figures(flow, p, drop, y, height);
    flow->y = y + height;
    bp_line(canvas, flow->left, flow->y, flow->right, flow->y, 0.5, BP_GREY_RULE);
}

static void draw_sum_name(bp_flow *flow, const plan *p, const char *what) {
    bp_text(flow->canvas, p->spans, flow->y + 3.5, what, &bp_font_small_strong, BP_LEFT, 0);
}

static void draw_total(bp_flow *flow, double x, double volts) {
    char text[40];
    snprintf(text, sizeof text, "%.2f V", volts);
    if (!isnan(volts))
        bp_text(flow->canvas, x, flow->y + 2.5, text, &bp_font_cell_strong, BP_RIGHT, 0);
}

/* Each side of the load in all, and what the supply gives. */
static void draw_sums(bp_flow *flow, const plan *p) {
    static const char *const names[] = {"feed side in all", "ground side in all"};
    const bp_drops *drops = &flow->facts->drops;
    for (size_t i = 0; i < 2; i++) {
        if (!drops->side[i].good)
            continue;
        draw_sum_name(flow, p, names[i]);
        draw_figures(flow, p, &drops->side[i], flow->y, sum_height);
        flow->y += sum_height;
    }
    draw_sum_name(flow, p, "together: what the supply gives");
    draw_total(flow, p->good, drops->sum_good);
    draw_total(flow, p->fault, drops->sum_fault);
    flow->y += sum_height;
}

void bp_block_drops(bp_flow *flow) {
    const bp_drops *drops = &flow->facts->drops;
    if (drops->n == 0)
        return;
    plan p = make_plan(flow);
    char remark[300];
    snprintf(remark, sizeof remark,
             "%s, along the current; %s; stroke: most allowed; outlined: share of the supply",
             flow->facts->circuit->states[flow->facts->shown].id,
             flow->facts->fault ? "upper bar good, lower with this fault" : "bars: good");
    bp_flow_need(flow, 36 + 2 * row_height(flow, &p, &drops->rows[0]));
    bp_flow_heading(flow, "Voltage drops", remark);
    draw_head(flow, &p);
    for (size_t i = 0; i < drops->n; i++) {
        if (bp_flow_need(flow, row_height(flow, &p, &drops->rows[i])))
            draw_head(flow, &p);
        draw_row(flow, &p, &drops->rows[i]);
    }
    bp_flow_need(flow, 3 * sum_height);
    draw_sums(flow, &p);
    flow->y += 6;
}
