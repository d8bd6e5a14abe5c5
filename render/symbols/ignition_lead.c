/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* A resistor with a second line around it: the thick insulation. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_box(canvas, shape, 1.6, 2.1, 0.8, 1.8);
    bp_ink_outline(canvas, shape, 1.2, 1.6, 1.6, 2.8);
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, shape->terminal[i].side == BP_TOP ? 2.1 : 3.9);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_value(part, "resistance", text, size);
}

const bp_symbol bp_symbol_ignition_lead = {.shape = shape, .draw = draw, .caption = caption};
