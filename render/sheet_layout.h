/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the first page of a sheet is shared out.
 */
#ifndef BP_RENDER_SHEET_LAYOUT_H
#define BP_RENDER_SHEET_LAYOUT_H

#include "render/sheet_flow.h"

#define BP_BLOCK_GAP 10.0

/* Where the boxes of words stand. */
typedef enum bp_boxes_place {
    BP_BOXES_BESIDE, /* in a column of their own, right of the drawing */
    BP_BOXES_WITHIN, /* where the drawing leaves room at its right */
    BP_BOXES_BELOW,  /* side by side under it */
    BP_BOXES_NEXT_PAGE
} bp_boxes_place;

typedef struct bp_layout {
    bp_boxes_place boxes;
    bool drops, readings;    /* stand on the first page too */
    bool cautions;           /* likewise; else at the top of the second */
    bp_schematic *schematic; /* owned: bp_schematic_free */
    bp_box drawing;          /* from the top left corner of the room under the head */
    bp_box box[2];           /* likewise, unless they go to the next page */
    double height;           /* of drawing, legend and boxes together */
} bp_layout;

/* `flow` stands under the head; `cautions` is their height. `scratch` lends its measuring.
 * schematic NULL: memory is out. */
bp_layout bp_layout_choose(bp_flow *flow, bp_canvas *scratch, double cautions);

/* Boxes side by side across `width`, from x, y; returns their height. */
double bp_layout_abreast(bp_flow *flow, double x, double y, double width, bp_box box[2]);
/* Height of a block on an endless page. */
double bp_block_height(const bp_flow *flow, bp_canvas *scratch, void (*block)(bp_flow *));
double bp_legend_height(const bp_flow *flow);

#endif
