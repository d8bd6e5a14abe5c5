/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 2, 4, 1);
    shape->name = BP_NAME_RIGHT;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)part;
    (void)look;
    bp_ink_line(canvas, shape, 1, 0, 1, shape->h);
}

/* Colour by IEC 60757 and cross-section: "GN 1.5 mm²". */
static int caption(const bp_part *part, char *text, size_t size) {
    int colour = bp_kind_param(part->kind, "colour");
    const char *code = colour >= 0 && part->text ? part->text[colour] : NULL;
    char area[40] = "";
    bp_caption_value(part, "size", area, sizeof area);
    return snprintf(text, size, "%s%s%s", code ? code : "", code && area[0] ? " " : "", area);
}

const bp_symbol bp_symbol_wire = {.shape = shape, .draw = draw, .caption = caption};
