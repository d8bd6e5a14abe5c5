/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 5, 3);
    shape->name = BP_NAME_RIGHT;
}

/* Worked by a mass: a ball in its cup. Setting 0 is closed. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bool closed = look->setting == 0;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, shape->terminal[i].side == BP_TOP ? 1.4 : 3.6);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_link(canvas, shape, 1.2, 2.5, closed ? 3.1 : 2.4, 2.5);
    bp_ink_circle(canvas, shape, 0.75, 2.4, 0.42);
    bp_ink_line(canvas, shape, 0.1, 2.3, 0.4, 2.95);
    bp_ink_line(canvas, shape, 0.4, 2.95, 1.1, 2.95);
    bp_ink_line(canvas, shape, 1.1, 2.95, 1.4, 2.3);
    bp_ink_contact(canvas, shape, 3, 1.4, 3.6, closed);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "inertia switch");
}

const bp_symbol bp_symbol_inertia_switch = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting};
