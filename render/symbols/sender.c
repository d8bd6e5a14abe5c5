/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* IEC 60617 variable resistor, moved by a float. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_line(canvas, shape, 2, 0, 2, 6);
    bp_ink_box(canvas, shape, 1.45, 1.6, 1.1, 2.8);
    bp_ink_line(canvas, shape, 0.95, 4.26, 3, 1.8);
    bp_ink_arrow(canvas, shape, 3.05, 1.74, 0.64, -0.77);
    bp_ink_fine(canvas, shape, 0.05, 4.85, 1.3, 4.85);
    bp_ink_circle(canvas, shape, 0.65, 4.55, 0.42);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_LEFT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    char empty[24], full[24];
    if (bp_caption_value(part, "empty", empty, sizeof empty) <= 0 ||
        bp_caption_value(part, "full", full, sizeof full) <= 0)
        return 0;
    return snprintf(text, size, "empty %s, full %s", empty, full);
}

const bp_symbol bp_symbol_sender = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting};
