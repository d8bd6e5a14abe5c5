/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    (void)piece;
    bp_shape_contact(part, wish, 0, 1, shape);
}

/* Worked by a mass: a ball in its cup. Setting 0 is closed. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bool closed = look->setting == 0;
    bp_ink_contact_in_line(canvas, part, shape, closed);
    bp_ink_link(canvas, shape, 1.2, 2.5, closed ? 3.1 : 2.4, 2.5);
    bp_ink_circle(canvas, shape, 0.75, 2.4, 0.42);
    bp_ink_line(canvas, shape, 0.1, 2.3, 0.4, 2.95);
    bp_ink_line(canvas, shape, 0.4, 2.95, 1.1, 2.95);
    bp_ink_line(canvas, shape, 1.1, 2.95, 1.4, 2.3);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "inertia switch");
}

const bp_symbol bp_symbol_inertia_switch = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting};
