/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* IEC 60617 ideal voltage source: a circle that the line runs through. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    (void)look;
    double top = shape->flip ? shape->h : 0, down = shape->flip ? -1 : 1;
    bp_ink_circle(canvas, shape, 2, 3, 1.5);
    bp_ink_line(canvas, shape, 2, 0, 2, 6);
    bp_ink_text(canvas, shape, 1.2, top + down * 0.9, "+", 8, BP_BOLD, BP_CENTRE);
    bp_ink_text(canvas, shape, 1.2, top + down * 5.1, "−", 8, BP_BOLD, BP_CENTRE);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "source", "emf", text, size);
}

const bp_symbol bp_symbol_source = {.shape = shape, .draw = draw, .caption = caption};
