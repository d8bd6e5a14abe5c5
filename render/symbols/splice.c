/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

/* A dot; wires come to it from any side. */
static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_begin(shape, wish, piece, 2, 2);
    for (size_t pin = 0; pin < part->n_pins; pin++)
        bp_shape_terminal(shape, pin, 1, 1, BP_TOP);
    shape->name = BP_NAME_ABOVE_LEFT;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    (void)look;
    bp_circle(canvas, BP_CELL, BP_CELL, 2.7 / shape->scale, 0, BP_INK_BLACK, true, BP_INK_BLACK);
}

static int caption(const bp_part *part, char *text, size_t size) {
    (void)part;
    (void)text;
    (void)size;
    return 0;
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    (void)part;
    (void)pairs;
    return 0;
}

const bp_symbol bp_symbol_splice = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
