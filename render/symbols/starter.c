/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/starter.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t top[] = {BP_STARTER_PIN_30, BP_STARTER_PIN_50};
    bp_shape_begin(shape, wish, piece, 10, 10);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_STARTER_PIN_31)
        return;
    bp_shape_row(shape, wish, top, 2, 2, 0, BP_TOP, 5);
    bp_shape_terminal(shape, BP_STARTER_PIN_31, 2, shape->h, BP_BOTTOM);
    shape->w =
        fmax(10, shape->terminal[1].x + fmax(3, 2 + ceil(bp_small_text_cells(shape->scale))));
}

/* IEC 60617: a machine behind a contact that an operating coil closes. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 3)
        return;
    const double coil = shape->terminal[1].x;
    bp_ink_line(canvas, shape, 2, 0, 2, 1.6);
    bp_ink_contact(canvas, shape, 2, 1.6, 3.6, look->position != 0);
    bp_ink_line(canvas, shape, 2, 3.6, 2, 5);
    bp_ink_circle(canvas, shape, 2, 6.2, 1.2);
    bp_ink_letter(canvas, shape, 2, 6.2, "M", 11);
    bp_ink_line(canvas, shape, 2, 7.4, 2, 10);
    bp_ink_line(canvas, shape, coil, 0, coil, 1.8);
    bp_ink_box(canvas, shape, coil - 1, 1.8, 2, 1.6);
    bp_ink_link(canvas, shape, 2.4, 2.6, coil - 1, 2.6);
    bp_ink_line(canvas, shape, coil, 3.4, coil, 7.75);
    bp_ink_line(canvas, shape, coil, 7.75, 2, 7.75);
    bp_ink_dot(canvas, shape, 2, 7.75);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "starter");
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    if (part->n_pins <= BP_STARTER_PIN_31)
        return 0;
    pairs[0][0] = BP_STARTER_PIN_30;
    pairs[0][1] = BP_STARTER_PIN_31;
    pairs[1][0] = BP_STARTER_PIN_50;
    pairs[1][1] = BP_STARTER_PIN_31;
    return 2;
}

const bp_symbol bp_symbol_starter = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
