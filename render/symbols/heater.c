/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 2, 6, 1);
    shape->name = BP_NAME_RIGHT;
}

/* A resistor ruled across: a heating element. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, shape->terminal[i].side == BP_TOP ? 1.4 : 4.6);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_box(canvas, shape, 0.45, 1.4, 1.1, 3.2);
    for (int i = 1; i < 4; i++)
        bp_ink_line(canvas, shape, 0.45, 1.4 + 0.8 * i, 1.55, 1.4 + 0.8 * i);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "heater", "power", text, size);
}

const bp_symbol bp_symbol_heater = {.shape = shape, .draw = draw, .caption = caption};
