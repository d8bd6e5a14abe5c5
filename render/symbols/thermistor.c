/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 5, 6, 3);
    shape->name = BP_NAME_RIGHT;
}

/* IEC 60617: a resistor that follows a quantity, here temperature, falling as it rises. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_line(canvas, shape, 3, 0, 3, 6);
    bp_ink_box(canvas, shape, 2.45, 1.6, 1.1, 2.8);
    bp_ink_line(canvas, shape, 2, 4.2, 4, 1.8);
    bp_ink_line(canvas, shape, 1.3, 4.2, 2, 4.2);
    bp_ink_letter(canvas, shape, 1.2, 3, "−ϑ", 10);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "thermistor");
}

const bp_symbol bp_symbol_thermistor = {.shape = shape, .draw = draw, .caption = caption};
