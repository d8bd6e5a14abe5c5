/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* IEC 60617: a spark gap, two arrow heads tip to tip; above it the resistor. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    if (shape->n_terminals < 2)
        return;
    const bool upright = shape->terminal[0].side == BP_TOP;
    /* Down from the top: lead, the nearer of the two, middle, the other, lead. */
    const double box = upright ? 0.9 : 3.6, gap = upright ? 4 : 2;
    bp_ink_box(canvas, shape, 1.55, box, 0.9, 1.5);
    bp_ink_line(canvas, shape, 2, 0, 2, upright ? box : gap - 0.15);
    bp_ink_line(canvas, shape, 2, upright ? box + 1.5 : gap + 0.15, 2, upright ? gap - 0.15 : box);
    bp_ink_line(canvas, shape, 2, upright ? gap + 0.15 : box + 1.5, 2, 6);
    bp_ink_arrow(canvas, shape, 2, gap - 0.12, 0, 1);
    bp_ink_arrow(canvas, shape, 2, gap + 0.12, 0, -1);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "spark plug", "gap", text, size);
}

const bp_symbol bp_symbol_spark_plug = {.shape = shape, .draw = draw, .caption = caption};
