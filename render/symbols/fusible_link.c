/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 2, 5, 1);
    shape->name = BP_NAME_LEFT;
}

/* A fuse whose element is a wavy wire between two bolts; a melted one has a gap in it. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    const double wave = 0.6;
    bp_ink_box(canvas, shape, 0.5, 0.9, 1, 3.2);
    bp_ink_line(canvas, shape, 1, 0, 1, 1.3);
    bp_ink_line(canvas, shape, 1, 3.7, 1, 5);
    bp_ink_dot(canvas, shape, 1, 0.9);
    bp_ink_dot(canvas, shape, 1, 4.1);
    for (int i = 0; i < 4; i++)
        if (look->position == 0 || i == 0 || i == 3)
            bp_ink_winding(canvas, shape, 1, 1.3 + wave * i, 1.3 + wave * (i + 1), 1,
                           i % 2 ? -1 : 1);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "link", "size", text, size);
}

static const char *says(const bp_part *part, const bp_look *look) {
    (void)part;
    return look->position ? "melted" : NULL;
}

const bp_symbol bp_symbol_fusible_link = {
    .shape = shape, .draw = draw, .caption = caption, .says = says};
