/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 7, 6, 4);
    shape->name = BP_NAME_RIGHT;
}

/* A coil beside the rim of a toothed wheel. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_line(canvas, shape, 4, 0, 4, 1.4);
    bp_ink_line(canvas, shape, 4, 4.6, 4, 6);
    bp_ink_winding(canvas, shape, 4, 1.4, 4.6, 4, 1);
    bp_ink_heavy(canvas, shape, 3.3, 1.6, 3.3, 4.4);
    static const double rim[][2] = {{1.2, 1.2}, {1.2, 1.9}, {2.3, 1.9}, {2.3, 2.6}, {1.2, 2.6},
                                    {1.2, 3.4}, {2.3, 3.4}, {2.3, 4.1}, {1.2, 4.1}, {1.2, 4.8}};
    for (size_t i = 1; i < sizeof rim / sizeof *rim; i++)
        bp_ink_line(canvas, shape, rim[i - 1][0], rim[i - 1][1], rim[i][0], rim[i][1]);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "reluctance sensor", "resistance", text, size);
}

const bp_symbol bp_symbol_reluctance_sensor = {.shape = shape, .draw = draw, .caption = caption};
