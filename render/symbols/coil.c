/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 2, 6, 1);
    shape->name = BP_NAME_RIGHT;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, shape->terminal[i].side == BP_TOP ? 1.2 : 4.8);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_winding(canvas, shape, 1, 1.2, 4.8, 4, 1);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "coil", "resistance", text, size);
}

const bp_symbol bp_symbol_coil = {.shape = shape, .draw = draw, .caption = caption};
