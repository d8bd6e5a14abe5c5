/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "circuits/kinds/breaker_points.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    (void)piece;
    bp_shape_contact(part, wish, BP_POINTS_PIN_1, BP_POINTS_PIN_31, shape);
}

/* A contact, and the cam that works it. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bp_ink_contact_in_line(canvas, part, shape, look->setting != BP_POINTS_SET_OPEN);
    if (shape->n_terminals < 2)
        return;
    const double y = shape->h / 2, x = shape->terminal[0].x;
    bp_ink_link(canvas, shape, 1.4, y, x - 0.4, y);
    bp_ink_box(canvas, shape, 0.4, y - 0.5, 1, 1);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "breaker points");
}

const bp_symbol bp_symbol_breaker_points = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting};
