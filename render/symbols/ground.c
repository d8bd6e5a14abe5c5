/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "render/symbol_ink.h"

/* An eyelet under its bolt, standing on the metal: the rail under it is the body or the engine. */
static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_begin(shape, wish, piece, 2, fmax(3, ceil(wish ? wish->name_h + 0.7 : 0)));
    if (part->n_pins > 0)
        bp_shape_terminal(shape, 0, 1, 0, BP_TOP);
    shape->name = BP_NAME_RIGHT;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    (void)look;
    double y = shape->h - 1.7;
    bp_ink_line(canvas, shape, 1, 0, 1, shape->h);
    bp_ink_circle(canvas, shape, 1, y, 0.68);
    bp_circle(canvas, 1 * BP_CELL, y * BP_CELL, 1.1 / shape->scale, 0, BP_INK_BLACK, true,
              BP_INK_BLACK);
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

const bp_symbol bp_symbol_ground = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
