/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 3);
    shape->name = BP_NAME_LEFT;
}

/* The bimetal: a strip with a bend in a box. */
static void draw_bimetal(bp_canvas *canvas, const bp_shape *shape, double y) {
    bp_ink_box(canvas, shape, 0.3, y - 0.6, 1.2, 1.2);
    bp_ink_line(canvas, shape, 1, y - 0.45, 1, y - 0.2);
    bp_ink_line(canvas, shape, 1, y - 0.2, 0.65, y - 0.2);
    bp_ink_line(canvas, shape, 0.65, y - 0.2, 0.65, y + 0.2);
    bp_ink_line(canvas, shape, 0.65, y + 0.2, 1, y + 0.2);
    bp_ink_line(canvas, shape, 1, y + 0.2, 1, y + 0.45);
}

/* A contact with the cross of a breaker at its fixed end, worked by the heat of its current. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    const bool closed = look->position == 0;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, shape->terminal[i].side == BP_TOP ? 2.2 : 4.4);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_line(canvas, shape, 2.7, 1.2, 3.3, 1.8);
    bp_ink_line(canvas, shape, 2.7, 1.8, 3.3, 1.2);
    bp_ink_contact(canvas, shape, 3, 2.2, 4.4, closed);
    bp_ink_link(canvas, shape, 1.5, 3.3, closed ? 3.1 : 2.4, 3.3);
    draw_bimetal(canvas, shape, 3.3);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "breaker", "rating", text, size);
}

static const char *says(const bp_part *part, const bp_look *look) {
    (void)part;
    return look->position ? "tripped" : NULL;
}

const bp_symbol bp_symbol_circuit_breaker = {
    .shape = shape, .draw = draw, .caption = caption, .says = says};
