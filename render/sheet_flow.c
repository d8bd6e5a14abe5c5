/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/sheet_flow.h"

#include <stdio.h>
#include <string.h>

#include "render/style.h"

static const double side_margin = 36, top_margin = 32, foot_margin = 26;
static const double foot_height = 20;

void bp_flow_begin(bp_flow *flow, bp_canvas *canvas, const bp_facts *facts, size_t n_pages) {
    bp_box page = bp_canvas_page(canvas);
    *flow = (bp_flow){.canvas = canvas,
                      .facts = facts,
                      .left = side_margin,
                      .right = page.w - side_margin,
                      .top = top_margin,
                      .bottom = page.h - foot_margin - foot_height,
                      .y = top_margin,
                      .n_pages = n_pages};
}

/* Rule, circuit and program on the left, page number on the right. */
static void draw_foot(const bp_flow *flow) {
    bp_canvas *canvas = flow->canvas;
    double y = flow->bottom + 8;
    size_t page = bp_canvas_n_pages(canvas);
    char text[300], number[60], apply[80] = "";
    bp_line(canvas, flow->left, y, flow->right, y, 0.5, BP_GREY_RULE);
    if (flow->cautions_page != 0 && flow->cautions_page != page)
        snprintf(apply, sizeof apply, "  ·  the cautions on page %zu apply", flow->cautions_page);
    snprintf(text, sizeof text, "%s  ·  backprobe %s  ·  computed with %s%s",
             flow->facts->circuit->id, BP_VERSION, flow->facts->solver, apply);
    snprintf(number, sizeof number, "page %zu of %zu", page, flow->n_pages);
    bp_text(canvas, flow->left, y + 4, text, &bp_font_small, BP_LEFT, 0);
    bp_text(canvas, flow->right, y + 4, number, &bp_font_small, BP_RIGHT, 0);
}

static void draw_running_head(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    char state[160];
    snprintf(state, sizeof state, "state drawn: %s", facts->circuit->states[facts->shown].id);
    double half = (flow->right - flow->left) * 0.62;
    bp_box title = bp_text(flow->canvas, flow->left, flow->y, facts->circuit->title,
                           &bp_font_strong, BP_LEFT, half);
    bp_text(flow->canvas, flow->right, flow->y, state, &bp_font_small, BP_RIGHT,
            flow->right - flow->left - half - 12);
    flow->y += title.h + 2;
    if (facts->faults.n > 0)
        flow->y += bp_text(flow->canvas, flow->left, flow->y, facts->fault_words, &bp_font_small,
                           BP_LEFT, half)
                       .h +
                   2;
    flow->y += 2;
    bp_line(flow->canvas, flow->left, flow->y, flow->right, flow->y, 0.8, BP_INK_BLACK);
    flow->y += 10;
}

void bp_flow_next_page(bp_flow *flow) {
    draw_foot(flow);
    bp_canvas_next_page(flow->canvas);
    flow->y = flow->top;
    draw_running_head(flow);
}

bool bp_flow_need(bp_flow *flow, double height) {
    if (flow->y + height <= flow->bottom)
        return false;
    bp_flow_next_page(flow);
    return true;
}

void bp_flow_end(bp_flow *flow) { draw_foot(flow); }

void bp_flow_heading(bp_flow *flow, const char *heading, const char *remark) {
    bp_box box = bp_text(flow->canvas, flow->left, flow->y, heading, &bp_font_heading, BP_LEFT, 0);
    double x = box.x + box.w + 10;
    double rise = bp_font_heading.size * 0.94 - bp_font_small.size * 0.94; /* one base line */
    bp_box below =
        bp_text(flow->canvas, x, flow->y + rise, remark, &bp_font_small, BP_LEFT, flow->right - x);
    double low = rise + below.h > box.h ? rise + below.h : box.h;
    flow->y += low + 4;
}

double bp_chip(bp_canvas *canvas, double x, double y, const char *text, bool outlined, bool draw) {
    bp_font font = bp_font_chip;
    if (outlined)
        font = (bp_font){7.6, BP_BOLD, BP_ACCENT, true};
    bp_box size = bp_text_size(canvas, text, &font, 0);
    double width = size.w + 7 > 15 ? size.w + 7 : 15;
    if (!draw)
        return width;
    bp_box box = {x, y, width, BP_CHIP_HEIGHT};
    bp_ledger_begin(canvas, BP_INK_TAG, box, text);
    bp_rect(canvas, box, 2, outlined ? 0.9 : 0, BP_ACCENT, true,
            outlined ? BP_PAPER_WHITE : BP_ACCENT);
    bp_text(canvas, x + width / 2, y + (BP_CHIP_HEIGHT - size.h) / 2, text, &font, BP_CENTRE, 0);
    bp_ledger_end(canvas);
    return width;
}
