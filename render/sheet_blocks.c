/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Title block, side boxes and cautions.
 */
#include <stdio.h>
#include <string.h>

#include "circuits/cautions.h"
#include "render/sheet_flow.h"
#include "render/style.h"

static const double padding = 8;

/* The title's font: smaller where that keeps it on one line. */
static bp_font title_font(bp_flow *flow, double width) {
    static const double sizes[] = {20, 18, 16.5, 15};
    bp_font font = bp_font_title;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        font.size = sizes[i];
        if (bp_text_size(flow->canvas, flow->facts->circuit->title, &font, 0).w <= width)
            return font;
    }
    return font;
}

/* Title and scenario on the left, the state drawn on the right. */
void bp_block_title(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    const bp_circuit *circuit = facts->circuit;
    const bp_state *state = &circuit->states[facts->shown];
    double width = flow->right - flow->left, side = width * 0.3;
    char name[160], words[300];
    snprintf(name, sizeof name, "State: %s", state->id);
    bp_state_words(circuit, state, facts->options.us_units, words, sizeof words);
    double y = flow->y, x = flow->left;
    bp_font font = title_font(flow, width - side - 16);
    y += bp_text(flow->canvas, x, y, circuit->title, &font, BP_LEFT, width - side - 16).h;
    if (circuit->scenario)
        y += 2 + bp_text(flow->canvas, x, y + 2, circuit->scenario, &bp_font_quiet, BP_LEFT,
                         width - side - 16)
                     .h;
    double low = flow->y + 5;
    low += bp_text(flow->canvas, flow->right, low, name, &bp_font_state, BP_RIGHT, side).h + 2;
    low += bp_text(flow->canvas, flow->right, low, words, &bp_font_quiet, BP_RIGHT, side).h;
    flow->y = (low > y ? low : y) + 6;
    bp_line(flow->canvas, flow->left, flow->y, flow->right, flow->y, 1.2, BP_INK_BLACK);
    flow->y += 6;
}

/* What is wrong with the circuit shown, and under which conditions. */
void bp_block_conditions(bp_flow *flow, const char *conditions) {
    const bp_facts *facts = flow->facts;
    bool fault = facts->faults.n > 0;
    bp_font lead = bp_font_strong;
    lead.colour = BP_ACCENT;
    bp_box label = bp_text(flow->canvas, flow->left, flow->y,
                           fault ? "Fault shown" : "Good circuit", &lead, BP_LEFT, 0);
    double x = label.x + label.w + 9;
    bp_box said = bp_text(flow->canvas, x, flow->y,
                          fault ? facts->fault_words : "no fault: readings as they should be",
                          fault ? &bp_font_strong : &bp_font_quiet, BP_LEFT, flow->right - x);
    flow->y += (said.h > label.h ? said.h : label.h) + 2;
    flow->y += bp_text(flow->canvas, flow->left, flow->y, conditions, &bp_font_small, BP_LEFT,
                       flow->right - flow->left)
                   .h +
               8;
}

void bp_block_head(bp_flow *flow) {
    char conditions[400];
    bp_conditions_words(flow->facts, conditions, sizeof conditions);
    bp_block_title(flow);
    bp_block_conditions(flow, conditions);
}

/* The lines of a box from y down; returns where they end. draw = false only measures. */
static double lines(bp_flow *flow, double x, double y, double width, const bp_words *words,
                    bool draw) {
    for (size_t i = 0; i < words->n; i++) {
        const bp_font *font = words->strong[i] ? &bp_font_strong : &bp_font_text;
        bp_box box = draw ? bp_text(flow->canvas, x, y, words->line[i], font, BP_LEFT, width)
                          : bp_text_size(flow->canvas, words->line[i], font, width);
        y += box.h + 3;
    }
    return y;
}

double bp_words_box_height(bp_flow *flow, double width, const bp_words *words) {
    double head = bp_text_size(flow->canvas, "Ag", &bp_font_strong, 0).h;
    return lines(flow, 0, 0, width - 2 * padding, words, false) + head + 2 * padding + 2;
}

void bp_words_box_draw(bp_flow *flow, bp_box box, const char *heading, const bp_words *words,
                       bool filled) {
    bp_ledger_begin(flow->canvas, BP_INK_FRAME, box, heading);
    bp_rect(flow->canvas, box, 3, 0.7, filled ? BP_GREY_FILL : BP_GREY_RULE, filled, BP_GREY_FILL);
    bp_font font = {9.2, BP_BOLD, BP_ACCENT, false};
    double y = box.y + padding;
    y += bp_text(flow->canvas, box.x + padding, y, heading, &font, BP_LEFT, box.w - 2 * padding).h;
    lines(flow, box.x + padding, y + 3, box.w - 2 * padding, words, true);
    bp_ledger_end(flow->canvas);
}

typedef struct side_box {
    const char *heading;
    const bp_words *words;
} side_box;

static size_t boxes_of(const bp_facts *facts, side_box boxes[2]) {
    size_t n = 0;
    if (facts->notices.n > 0)
        boxes[n++] = (side_box){"What you notice", &facts->notices};
    if (facts->gives_away.n > 0)
        boxes[n++] =
            (side_box){facts->fault ? "What gives it away" : "How to measure", &facts->gives_away};
    return n;
}

size_t bp_side_boxes(const bp_flow *flow) {
    side_box boxes[2];
    return boxes_of(flow->facts, boxes);
}

double bp_side_box_height(bp_flow *flow, size_t index, double width) {
    side_box boxes[2];
    boxes_of(flow->facts, boxes);
    return bp_words_box_height(flow, width, boxes[index].words);
}

void bp_side_box_draw(bp_flow *flow, size_t index, bp_box box) {
    side_box boxes[2];
    boxes_of(flow->facts, boxes);
    bp_words_box_draw(flow, box, boxes[index].heading, boxes[index].words, index == 0);
}

/* A warning triangle in a square of `size`. */
static void draw_sign(bp_canvas *canvas, double x, double y, double size) {
    double h = size * 0.87;
    const double corners[][2] = {{x + size / 2, y}, {x + size, y + h}, {x, y + h}};
    bp_polyline(canvas, corners, 3, 1.4, BP_INK_BLACK, true);
    bp_line(canvas, x + size / 2, y + h * 0.36, x + size / 2, y + h * 0.68, 1.8, BP_INK_BLACK);
    bp_circle(canvas, x + size / 2, y + h * 0.83, 1.1, 0, BP_INK_BLACK, true, BP_INK_BLACK);
}

/* A caution is the key of a shipped text, or a sentence of the circuit's own. */
static const char *caution_text(const bp_circuit *circuit, size_t i) {
    const char *shipped = bp_caution_text(circuit->cautions[i]);
    return shipped ? shipped : circuit->cautions[i];
}

/* Cautions in two columns; fills the shorter one. Returns the height. */
static double caution_columns(bp_flow *flow, double x, double y, double width, bool draw) {
    const bp_circuit *circuit = flow->facts->circuit;
    static const bp_font font = {7.1, BP_REGULAR, BP_INK_BLACK, false};
    double gap = 14, each = (width - gap) / 2, whole = 0, low = 0;
    for (size_t i = 0; i < circuit->n_cautions; i++)
        whole += bp_text_size(flow->canvas, caution_text(circuit, i), &font, each).h + 2.5;
    double at = 0;
    bool second = false;
    for (size_t i = 0; i < circuit->n_cautions; i++) {
        double h = bp_text_size(flow->canvas, caution_text(circuit, i), &font, each).h + 2.5;
        if (!second && at + h / 2 > whole / 2) {
            second = true;
            at = 0;
        }
        if (draw)
            bp_text(flow->canvas, x + (second ? each + gap : 0), y + at, caution_text(circuit, i),
                    &font, BP_LEFT, each);
        at += h;
        low = at > low ? at : low;
    }
    return low - 2.5;
}

void bp_block_cautions(bp_flow *flow) {
    if (flow->facts->circuit->n_cautions == 0)
        return;
    double sign = 26, width = flow->right - flow->left;
    double inner = width - sign - 3 * padding;
    double height = caution_columns(flow, 0, 0, inner, false) + 2 * padding - 2;
    bp_flow_need(flow, height);
    bp_box box = {flow->left, flow->y, width, height};
    bp_ledger_begin(flow->canvas, BP_INK_FRAME, box, "cautions");
    bp_rect(flow->canvas, box, 3, 1, BP_INK_BLACK, false, BP_PAPER_WHITE);
    draw_sign(flow->canvas, box.x + padding, box.y + (height - sign * 0.87) / 2, sign);
    caution_columns(flow, box.x + sign + 2 * padding, box.y + padding - 1, inner, true);
    bp_ledger_end(flow->canvas);
    flow->y += height;
}
