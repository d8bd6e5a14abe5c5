/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 6, 8, 3);
    shape->name = BP_NAME_RIGHT;
}

/* A rotor that passes segments in a round cap. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_circle(canvas, shape, 3, 4, 2.2);
    if (shape->n_terminals < 2)
        return;
    const bool upright = shape->terminal[0].side == BP_TOP;
    const double out = upright ? 5.7 : 2.3;
    bp_ink_lead(canvas, shape, 0, 4);
    bp_ink_lead(canvas, shape, 1, upright ? 6 : 2);
    bp_ink_dot(canvas, shape, 3, 4);
    bp_ink_heavy(canvas, shape, 3, 4, 3, upright ? out - 0.2 : out + 0.2);
    bp_ink_dot(canvas, shape, 3, upright ? 6 : 2);
    bp_ink_dot(canvas, shape, 1.3, 4);
    bp_ink_dot(canvas, shape, 4.7, 4);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "distributor");
}

const bp_symbol bp_symbol_distributor = {.shape = shape, .draw = draw, .caption = caption};
