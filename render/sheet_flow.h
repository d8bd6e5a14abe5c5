/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a sheet runs down its pages: blocks one below the other, a running head and a foot on each
 * page.
 */
#ifndef BP_RENDER_SHEET_FLOW_H
#define BP_RENDER_SHEET_FLOW_H

#include "render/sheet_facts.h"

typedef struct bp_flow {
    bp_canvas *canvas;
    const bp_facts *facts;
    double left, right, top, bottom; /* of the room for blocks, points */
    double y;                        /* where the next block begins */
    size_t n_pages;                  /* of the whole sheet; 0 while it is counted */
    size_t cautions_page;            /* from 1, or 0; the other pages refer to it */
} bp_flow;

void bp_flow_begin(bp_flow *flow, bp_canvas *canvas, const bp_facts *facts, size_t n_pages);
/* Goes to the next page when less than `height` is left. True when it did. */
bool bp_flow_need(bp_flow *flow, double height);
void bp_flow_next_page(bp_flow *flow);
void bp_flow_end(bp_flow *flow);

/* The blocks. Each begins at flow->y and leaves flow->y below itself. */
void bp_block_head(bp_flow *flow); /* title, then the conditions of the readings */
void bp_block_title(bp_flow *flow);
void bp_block_conditions(bp_flow *flow, const char *conditions);
void bp_block_readings(bp_flow *flow);
void bp_block_drops(bp_flow *flow);
void bp_block_cautions(bp_flow *flow);
/* BP_ERR_MEMORY, else BP_OK. */
bp_status bp_block_waveforms(bp_flow *flow);

/* The boxes of what is noticed and what gives it away: how many (at most 2), how high at a width,
 * and one drawn. */
size_t bp_side_boxes(const bp_flow *flow);
double bp_side_box_height(bp_flow *flow, size_t index, double width);
void bp_side_box_draw(bp_flow *flow, size_t index, bp_box box);

/* A box of sentences under a heading: its height at a width, and drawn. */
double bp_words_box_height(bp_flow *flow, double width, const bp_words *words);
void bp_words_box_draw(bp_flow *flow, bp_box box, const char *heading, const bp_words *words,
                       bool filled);

/* A block's heading with a quiet remark behind it. */
void bp_flow_heading(bp_flow *flow, const char *heading, const char *remark);
/* The chip of a point ("A") or of a post ("battery +", outlined), its top left corner at x, y.
 * Returns its width; draw = false only measures. */
double bp_chip(bp_canvas *canvas, double x, double y, const char *text, bool outlined, bool draw);
#define BP_CHIP_HEIGHT 12.5

#endif
