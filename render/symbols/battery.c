/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* Two cells: the long thin plate is +. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    (void)look;
    double top = shape->flip ? shape->h : 0, down = shape->flip ? -1 : 1;
    bp_ink_line(canvas, shape, 2, top, 2, top + down * 2.1);
    for (int cell = 0; cell < 2; cell++) {
        double y = top + down * (2.1 + 1.2 * cell);
        bp_ink_line(canvas, shape, 0.3, y, 3.7, y);
        bp_ink_heavy(canvas, shape, 1.1, y + down * 0.6, 2.9, y + down * 0.6);
    }
    bp_ink_line(canvas, shape, 2, top + down * 3.9, 2, top + down * 6);
    bp_ink_text(canvas, shape, 0.7, top + down * 1.35, "+", 8, BP_BOLD, BP_CENTRE);
    bp_ink_text(canvas, shape, 0.7, top + down * 4.65, "−", 8, BP_BOLD, BP_CENTRE);
}

static int caption(const bp_part *part, char *text, size_t size) {
    char charge[24];
    if (bp_caption_value(part, "charge", charge, sizeof charge) <= 0)
        return part->label ? 0 : snprintf(text, size, "battery");
    return snprintf(text, size, "%scharged %s", part->label ? "" : "battery, ", charge);
}

const bp_symbol bp_symbol_battery = {.shape = shape, .draw = draw, .caption = caption};
