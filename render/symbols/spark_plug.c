/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 2, 6, 1);
    shape->name = BP_NAME_RIGHT;
}

/* IEC 60617: a spark gap, two arrow heads tip to tip; above it the resistor. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    if (shape->n_terminals < 2)
        return;
    const bool upright = shape->terminal[0].side == BP_TOP;
    const double top = upright ? 0.9 : 3.6;
    bp_ink_line(canvas, shape, 1, 0, 1, upright ? top : 1.9);
    bp_ink_box(canvas, shape, 0.55, top, 0.9, 1.5);
    bp_ink_line(canvas, shape, 1, upright ? top + 1.5 : 2.9, 1, upright ? 3.4 : top);
    const double gap = upright ? 3.9 : 2.4;
    bp_ink_line(canvas, shape, 1, upright ? 3.2 : 1.9, 1, gap - 0.25);
    bp_ink_arrow(canvas, shape, 1, gap - 0.15, 0, 1);
    bp_ink_arrow(canvas, shape, 1, gap + 0.15, 0, -1);
    bp_ink_line(canvas, shape, 1, gap + 0.3, 1, upright ? 6 : top);
    if (!upright)
        bp_ink_line(canvas, shape, 1, top + 1.5, 1, 6);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "spark plug", "gap", text, size);
}

const bp_symbol bp_symbol_spark_plug = {.shape = shape, .draw = draw, .caption = caption};
