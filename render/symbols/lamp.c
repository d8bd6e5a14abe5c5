/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, 3);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_circle(canvas, shape, 2, 3, 1.5);
    bp_ink_line(canvas, shape, 0.94, 1.94, 3.06, 4.06);
    bp_ink_line(canvas, shape, 0.94, 4.06, 3.06, 1.94);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "lamp", "power", text, size);
}

const bp_symbol bp_symbol_lamp = {.shape = shape, .draw = draw, .caption = caption};
