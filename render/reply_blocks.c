/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Head, findings, legend and boxes of a reply sheet.
 */
#include "render/reply_blocks.h"

#include <math.h>
#include <stdio.h>

#include "render/style.h"

static const double column_gap = 18;
static const bp_font line_font = {8, BP_REGULAR, BP_INK_BLACK, true};
static const bp_font line_strong = {8, BP_BOLD, BP_INK_BLACK, true};

/* The complaint's font: small enough for one line if that is not too small, else for two. */
static bp_font complaint_font(bp_flow *flow, const char *text, double width) {
    static const double sizes[] = {20, 18, 16, 14.5}, small = 12.5;
    bp_font font = bp_font_title;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        font.size = sizes[i];
        if (bp_text_size(flow->canvas, text, &font, 0).w <= width)
            return font;
    }
    if (bp_text_size(flow->canvas, text, &font, width).h > 3 * font.size)
        font.size = small;
    return font;
}

void bp_reply_head(bp_flow *flow, const bp_reply *reply) {
    const bp_circuit *circuit = reply->base.circuit;
    const double width = flow->right - flow->left, side = width * 0.26, main = width - side - 16;
    char state[300];
    bp_font font = complaint_font(flow, reply->complaint, main);
    double y = flow->y;
    y += bp_text(flow->canvas, flow->left, y, reply->complaint, &font, BP_LEFT, main).h + 2;
    y += bp_text(flow->canvas, flow->left, y, circuit->title, &bp_font_quiet, BP_LEFT, main).h;
    double low = flow->y + 4;
    low += bp_text(flow->canvas, flow->right, low, reply->lead, &bp_font_state, BP_RIGHT, side).h;
    snprintf(state, sizeof state, "drawn in state: %s", circuit->states[reply->base.shown].id);
    low += 2 + bp_text(flow->canvas, flow->right, low + 2, state, &bp_font_small, BP_RIGHT, side).h;
    flow->y = fmax(low, y) + 4;
    bp_line(flow->canvas, flow->left, flow->y, flow->right, flow->y, 1.2, BP_INK_BLACK);
    flow->y += 6;
}

static double text(bp_canvas *canvas, double x, double y, const char *words, const bp_font *font,
                   double width, bool draw) {
    return draw ? bp_text(canvas, x, y, words, font, BP_LEFT, width).h
                : bp_text_size(canvas, words, font, width).h;
}

/* Sentences with a dot before each; returns where they end. */
static double sentences(bp_flow *flow, const bp_words *words, double x, double y, double width,
                        bool draw) {
    bp_canvas *canvas = flow->canvas;
    for (size_t i = 0; i < words->n; i++) {
        const bp_font *font = words->strong[i] ? &line_strong : &line_font;
        const double h = text(canvas, x + 9, y, words->line[i], font, width - 9, draw);
        if (draw)
            bp_circle(canvas, x + 2.5, y + font->size * 0.64, 1.5, 0, BP_ACCENT, true, BP_ACCENT);
        y += h + 2;
    }
    return y;
}

/* Right edges of the columns "read" and "good circuit", and where "where" begins. */
typedef struct columns {
    double where, read, good;
} columns;

static double widest(bp_canvas *canvas, double a, const char *words, const bp_font *font) {
    return fmax(a, bp_text_size(canvas, words, font, 0).w);
}

static columns columns_of(bp_canvas *canvas, const bp_reply *reply, double x, double width) {
    double state = 0, read = 0, good = widest(canvas, 0, "good circuit", &bp_font_small);
    for (size_t i = 0; i < reply->n_readings; i++) {
        state = widest(canvas, state, reply->readings[i].state, &line_strong);
        read = widest(canvas, read, reply->readings[i].read, &line_strong);
        good = widest(canvas, good, reply->readings[i].good, &line_strong);
    }
    good = fmin(good, width * 0.36);
    return (columns){x + fmin(state, width * 0.24) + 6, x + width - good - 8, x + width};
}

/* One reading a line; those outside their good range in bold. Returns where they end. */
static double readings(bp_flow *flow, const bp_reply *reply, double x, double y, double width,
                       bool draw) {
    bp_canvas *canvas = flow->canvas;
    if (reply->n_readings == 0)
        return y;
    const columns c = columns_of(canvas, reply, x, width);
    if (draw) {
        bp_text(canvas, x, y, "state, where", &bp_font_small, BP_LEFT, 0);
        bp_text(canvas, c.read, y, "read", &bp_font_small, BP_RIGHT, 0);
        bp_text(canvas, c.good, y, "good circuit", &bp_font_small, BP_RIGHT, 0);
    }
    y += bp_text_size(canvas, "state", &bp_font_small, 0).h + 1;
    for (size_t i = 0; i < reply->n_readings; i++) {
        const bp_reply_reading *r = &reply->readings[i];
        const bp_font *font = r->odd ? &line_strong : &line_font;
        const double value = bp_text_size(canvas, r->read, font, 0).w;
        double h = text(canvas, x, y, r->state, font, c.where - x - 6, draw);
        h = fmax(h, text(canvas, c.where, y, r->where, font, c.read - value - c.where - 6, draw));
        if (draw) {
            bp_line(canvas, x, y - 0.5, c.good, y - 0.5, 0.4, BP_GREY_RULE);
            bp_text(canvas, c.read, y, r->read, font, BP_RIGHT, 0);
            bp_text(canvas, c.good, y, r->good, &line_font, BP_RIGHT, c.good - c.read - 8);
        }
        h = fmax(h, bp_text_size(canvas, r->good, &line_font, c.good - c.read - 8).h);
        y += h + 2;
    }
    return y;
}

static double known(bp_flow *flow, const bp_reply *reply, double x, double width, bool draw) {
    double y = flow->y;
    y += text(flow->canvas, x, y, "What is known so far", &bp_font_heading, width, draw) + 3;
    y = sentences(flow, &reply->history, x, y, width, draw);
    y = readings(flow, reply, x, y + 2, width, draw);
    y = sentences(flow, &reply->again, x, y, width, draw);
    return y - flow->y;
}

/* A bar as long as the suspect is likely, and the same in figures. */
static void draw_share(bp_canvas *canvas, double x, double y, double share) {
    const bp_box whole = {x, y + 2, 46, 6.5};
    char figures[24];
    bp_rect(canvas, whole, 0, 0, BP_GREY_FILL, true, BP_GREY_FILL);
    bp_rect(canvas, (bp_box){x, whole.y, whole.w * share, whole.h}, 0, 0, BP_ACCENT, true,
            BP_ACCENT);
    snprintf(figures, sizeof figures, share < 0.01 ? "< 1" : "%.0f", 100 * share);
    bp_text(canvas, x + whole.w + 20, y, figures, &line_strong, BP_RIGHT, 0);
}

static double suspects(bp_flow *flow, const bp_reply *reply, double x, double width, bool draw) {
    bp_canvas *canvas = flow->canvas;
    const double aside = 74;
    double y = flow->y;
    const double head = text(canvas, x, y, "What it can be", &bp_font_heading, width, draw);
    if (draw)
        bp_text(canvas, x + width, y + 3.5, "chances in a hundred", &bp_font_small, BP_RIGHT, 0);
    y += head + 3;
    for (size_t i = 0; i < reply->n_suspects; i++) {
        if (draw)
            draw_share(canvas, x, y, reply->suspects[i].share);
        y += text(canvas, x + aside, y, reply->suspects[i].words, &line_font, width - aside, draw) +
             2;
    }
    return y - flow->y;
}

double bp_reply_findings(bp_flow *flow, const bp_reply *reply, bool draw) {
    const double each = (flow->right - flow->left - column_gap) / 2;
    const double left = known(flow, reply, flow->left, each, draw);
    const double right = suspects(flow, reply, flow->left + each + column_gap, each, draw);
    return fmax(left, right);
}

double bp_reply_legend(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                       bool draw) {
    char words[400];
    bool quiet = false;
    for (size_t i = 0; i < reply->shown.n_points; i++)
        quiet = quiet || reply->of[i] == 0;
    snprintf(words, sizeof words, "%s%s%s%s",
             reply->n_tests ? "Dark tags: where to measure or look, by number of the test." : "",
             quiet ? reply->n_tests ? " Grey tags: what was read." : "Tags: what was read." : "",
             reply->left_out ? " Only the part of the circuit that is in question is drawn." : "",
             reply->n_tests ? " Back-probe: a thin pin slid in beside the wire at the back of a "
                              "plug that stays in."
                            : "");
    return text(canvas, x, y, words, &bp_font_small, width, draw);
}
