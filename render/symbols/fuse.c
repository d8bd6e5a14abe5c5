/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 2, 4, 1);
    shape->name = BP_NAME_LEFT;
}

/* The line runs through the box; a blown one has a gap in it. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    bp_ink_box(canvas, shape, 0.5, 0.75, 1, 2.5);
    if (look->position == 0) {
        bp_ink_line(canvas, shape, 1, 0, 1, 4);
        return;
    }
    bp_ink_line(canvas, shape, 1, 0, 1, 1.45);
    bp_ink_line(canvas, shape, 1, 1.45, 1.3, 1.75);
    bp_ink_line(canvas, shape, 0.7, 2.25, 1, 2.55);
    bp_ink_line(canvas, shape, 1, 2.55, 1, 4);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_value(part, "rating", text, size);
}

static const char *says(const bp_part *part, const bp_look *look) {
    (void)part;
    return look->position ? "blown" : NULL;
}

const bp_symbol bp_symbol_fuse = {.shape = shape, .draw = draw, .caption = caption, .says = says};
