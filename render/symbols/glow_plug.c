/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/kinds/glow_plug.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 7, 2);
    shape->name = BP_NAME_RIGHT;
}

/* A heating element in its sheath; the sheath is the other terminal. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    const double up = shape->flip ? -1 : 1, top = shape->flip ? shape->h : 0;
    bp_ink_line(canvas, shape, 2, top, 2, top + up * 1.9);
    bp_ink_box(canvas, shape, 1.5, shape->flip ? 2.7 : 1.9, 1, 2.4);
    for (int i = 1; i < 4; i++)
        bp_ink_line(canvas, shape, 1.5, top + up * (1.9 + 0.6 * i), 2.5,
                    top + up * (1.9 + 0.6 * i));
    bp_ink_line(canvas, shape, 2, top + up * 4.3, 2, top + up * 7);
    bp_ink_dot(canvas, shape, 2, top + up * 5.2);
    /* Both sides of the sheath, open towards the terminal. */
    for (int side = -1; side <= 1; side += 2) {
        bp_ink_line(canvas, shape, 2 + 1.2 * side, top + up * 1.2, 2 + 1.2 * side, top + up * 5.2);
        bp_ink_line(canvas, shape, 2 + 1.2 * side, top + up * 5.2, 2, top + up * 5.2);
    }
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "glow plug", "current", text, size);
}

const bp_symbol bp_symbol_glow_plug = {.shape = shape, .draw = draw, .caption = caption};
