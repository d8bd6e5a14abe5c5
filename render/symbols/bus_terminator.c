/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 5, 2);
    shape->name = BP_NAME_RIGHT;
}

/* A resistor that ends the line: Z for its impedance. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_line(canvas, shape, 2, 0, 2, 5);
    bp_ink_box(canvas, shape, 1.45, 1.1, 1.1, 2.8);
    bp_ink_letter(canvas, shape, 2, 2.5, "Z", 8);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "bus terminator", "resistance", text, size);
}

const bp_symbol bp_symbol_bus_terminator = {.shape = shape, .draw = draw, .caption = caption};
