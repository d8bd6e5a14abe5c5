/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 2, 4, 1);
    shape->name = BP_NAME_RIGHT;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        const double plate = shape->terminal[i].side == BP_TOP ? 1.75 : 2.25;
        bp_ink_lead(canvas, shape, i, plate);
        bp_ink_line(canvas, shape, 0.1, plate, 1.9, plate);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_value(part, "capacitance", text, size);
}

const bp_symbol bp_symbol_capacitor = {.shape = shape, .draw = draw, .caption = caption};
