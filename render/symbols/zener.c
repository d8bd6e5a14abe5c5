/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 4, 2);
    shape->name = BP_NAME_RIGHT;
}

/* A diode whose bar, the cathode, is bent back at one end. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    const double top = shape->flip ? shape->h : 0, down = shape->flip ? -1 : 1;
    const double bar = top + down * 2.6;
    bp_ink_line(canvas, shape, 2, 0, 2, 4);
    bp_ink_triangle(canvas, shape, 2, 0.65, top + down * 1.35, top + down * 2.55);
    bp_ink_line(canvas, shape, 1.25, bar, 2.75, bar);
    bp_ink_line(canvas, shape, 2.75, bar, 2.75, bar - down * 0.5);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "zener diode", "volts", text, size);
}

const bp_symbol bp_symbol_zener = {.shape = shape, .draw = draw, .caption = caption};
