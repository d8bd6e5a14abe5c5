/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/us_units.h"
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

int bp_wire_caption(const bp_part *wire, bool us_units, char *text, size_t size) {
    int colour = bp_kind_param(wire->kind, "colour");
    const char *code = colour >= 0 && wire->text ? wire->text[colour] : NULL;
    double size_of = bp_part_value(wire, "size");
    char area[40] = "";
    if (!isnan(size_of))
        bp_quantity_in(us_units, size_of, BP_UNIT_AREA, 3, area, sizeof area);
    return snprintf(text, size, "%s%s%s", code ? code : "", code && area[0] ? " " : "", area);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_wire_caption(part, false, text, size);
}

const bp_symbol bp_symbol_wire = {.shape = shape, .draw = draw, .caption = caption};
