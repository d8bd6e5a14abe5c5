/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "circuits/sensed_contact.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    (void)piece;
    bp_shape_contact(part, wish, BP_SENSED_CONTACT_PIN_1, BP_SENSED_CONTACT_PIN_2, shape);
}

/* Worked by a float on a fluid. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bool closed = bp_sensed_contact_closes(part, look->setting);
    bp_ink_contact_in_line(canvas, part, shape, closed);
    bp_ink_link(canvas, shape, 1.15, 2.5, closed ? 3.1 : 2.4, 2.5);
    bp_ink_fine(canvas, shape, 0.1, 2.8, 1.4, 2.8);
    bp_ink_circle(canvas, shape, 0.7, 2.5, 0.45);
    bp_ink_fine(canvas, shape, 0.35, 3.2, 1.05, 3.2);
    bp_ink_fine(canvas, shape, 0.55, 3.5, 0.85, 3.5);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "level switch");
}

const bp_symbol bp_symbol_level_switch = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting};
