/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 6, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* An operating coil whose link pulls a plunger. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, 3);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_box(canvas, shape, 0.5, 2.1, 3, 1.8);
    bp_ink_link(canvas, shape, 3.5, 3, 4.6, 3);
    bp_ink_box(canvas, shape, 4.6, 2.55, 1.2, 0.9);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "solenoid", "resistance", text, size);
}

const bp_symbol bp_symbol_solenoid = {.shape = shape, .draw = draw, .caption = caption};
