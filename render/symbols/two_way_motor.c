/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* M over an arrow both ways. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, 3);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_circle(canvas, shape, 2, 3, 1.75);
    bp_ink_letter(canvas, shape, 2, 2.65, "M", 14);
    bp_ink_line(canvas, shape, 1.3, 3.95, 2.7, 3.95);
    bp_ink_arrow(canvas, shape, 0.95, 3.95, -1, 0);
    bp_ink_arrow(canvas, shape, 3.05, 3.95, 1, 0);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "two-way motor", "current", text, size);
}

const bp_symbol bp_symbol_two_way_motor = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting};
