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

/* The complaint's font: smaller where that keeps it on two lines. */
static bp_font complaint_font(bp_flow *flow, const char *text, double width) {
    static const double sizes[] = {20, 17, 14.5, 12.5};
    bp_font font = bp_font_title;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        font.size = sizes[i];
        if (bp_text_size(flow->canvas, text, &font, width).h <= 2.5 * font.size)
            return font;
    }
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

static double known(bp_flow *flow, const bp_reply *reply, double x, double width, bool draw) {
    bp_canvas *canvas = flow->canvas;
    double y = flow->y;
    y += text(canvas, x, y, "What is known so far", &bp_font_heading, width, draw) + 3;
    for (size_t i = 0; i < reply->known.n; i++) {
        const bp_font *font = reply->known.strong[i] ? &line_strong : &line_font;
        const double h = text(canvas, x + 9, y, reply->known.line[i], font, width - 9, draw);
        if (draw)
            bp_circle(canvas, x + 2.5, y + font->size * 0.64, 1.5, 0, BP_ACCENT, true, BP_ACCENT);
        y += h + 2;
    }
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

double bp_reply_boxes(bp_flow *flow, const bp_reply *reply, double x, double width, bool abreast,
                      bool draw) {
    const double gap = 9, each = abreast ? (width - gap) / 2 : width;
    double first = bp_words_box_height(flow, each, &reply->buying);
    double second = bp_words_box_height(flow, each, &reply->stop);
    if (abreast)
        first = second = fmax(first, second);
    const double low = abreast ? flow->y : flow->y + first + gap;
    if (draw) {
        bp_words_box_draw(flow, (bp_box){x, flow->y, each, first}, "What not to buy yet",
                          &reply->buying, true);
        bp_words_box_draw(flow, (bp_box){abreast ? x + each + gap : x, low, each, second},
                          "When to stop", &reply->stop, false);
    }
    return low + second - flow->y;
}

double bp_reply_legend(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                       bool draw) {
    char words[400];
    snprintf(words, sizeof words, "%sGrey tags: what was read.%s%s",
             reply->n_tests ? "Dark tags: where the leads go, by number of the test. " : "",
             reply->left_out ? " Only the part of the circuit that is in question is drawn." : "",
             reply->n_tests ? " Back-probe: a thin pin slid in beside the wire at the back of a "
                              "plug that stays in."
                            : "");
    return text(canvas, x, y, words, &bp_font_small, width, draw);
}
