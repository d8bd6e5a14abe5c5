/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    (void)piece;
    bp_shape_contact(part, wish, 0, 1, shape);
}

/* Worked by temperature: the letter theta. Position 1 is closed. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bool closed = look->position != 0;
    bp_ink_contact_in_line(canvas, part, shape, closed);
    bp_ink_link(canvas, shape, 1.2, 2.5, closed ? 3.1 : 2.4, 2.5);
    bp_ink_letter(canvas, shape, 0.65, 2.5, "ϑ", 13);
}

static int caption(const bp_part *part, char *text, size_t size) {
    char closes[24], opens[24];
    if (bp_caption_value(part, "closes", closes, sizeof closes) <= 0 ||
        bp_caption_value(part, "opens", opens, sizeof opens) <= 0)
        return snprintf(text, size, "thermal switch");
    return snprintf(text, size, "closes %s, opens %s", closes, opens);
}

const bp_symbol bp_symbol_thermal_switch = {.shape = shape, .draw = draw, .caption = caption};
