/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

/* Pins a1..an then b1..bn: one piece for each pair. */
static size_t pieces(const bp_part *part) { return part->n_pins / 2; }

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    size_t a = piece, b = piece + part->n_pins / 2;
    bp_shape_begin(shape, wish, piece, 2, 3);
    if (part->n_pins < 2)
        return;
    shape->flip = wish && wish->height && wish->height[b] > wish->height[a];
    bp_shape_terminal(shape, shape->flip ? b : a, 1, 0, BP_TOP);
    bp_shape_terminal(shape, shape->flip ? a : b, 1, 3, BP_BOTTOM);
    /* Tags hang right of the wire. */
    bool tagged = wish && wish->room && (wish->room[a] > 0 || wish->room[b] > 0);
    shape->name = tagged ? BP_NAME_LEFT : BP_NAME_RIGHT;
}

/* IEC 60617 socket and plug: the cup of the socket on the feed side, the blade of the plug in it.
 */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    (void)look;
    if (shape->n_terminals < 2)
        return;
    bp_ink_line(canvas, shape, 1, 0, 1, 0.8);
    bp_arc(canvas, 1 * BP_CELL, 1.55 * BP_CELL, 0.75 * BP_CELL, 180, 360, BP_LINE / shape->scale,
           BP_INK_BLACK);
    bp_rect(canvas, (bp_box){0.76 * BP_CELL, 1.2 * BP_CELL, 0.48 * BP_CELL, 1.1 * BP_CELL}, 0, 0,
            BP_INK_BLACK, true, BP_INK_BLACK);
    bp_ink_line(canvas, shape, 1, 2.2, 1, 3);
}

static int caption(const bp_part *part, char *text, size_t size) {
    (void)part;
    (void)text;
    (void)size;
    return 0;
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    size_t n = part->n_pins / 2;
    for (size_t i = 0; i < n && i < BP_MAX_TERMINALS; i++) {
        pairs[i][0] = i;
        pairs[i][1] = i + n;
    }
    return n < BP_MAX_TERMINALS ? n : BP_MAX_TERMINALS;
}

const bp_symbol bp_symbol_connector = {
    .pieces = pieces, .shape = shape, .draw = draw, .caption = caption, .paths = paths};
