/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 5, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* The driver and its trumpet. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, shape->terminal[i].side == BP_TOP ? 2.1 : 3.9);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_box(canvas, shape, 1.1, 2.1, 1.8, 1.8);
    bp_ink_line(canvas, shape, 2.9, 2.5, 4.5, 1.5);
    bp_ink_line(canvas, shape, 4.5, 1.5, 4.5, 4.5);
    bp_ink_line(canvas, shape, 4.5, 4.5, 2.9, 3.5);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "horn", "current", text, size);
}

const bp_symbol bp_symbol_horn = {.shape = shape, .draw = draw, .caption = caption};
