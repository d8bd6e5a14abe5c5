/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/regulator.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t low[] = {BP_REGULATOR_PIN_31, BP_REGULATOR_PIN_OUT};
    bp_shape_begin(shape, wish, piece, 8, 8);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_REGULATOR_PIN_OUT)
        return;
    bp_shape_terminal(shape, BP_REGULATOR_PIN_15, 2, 0, BP_TOP);
    bp_shape_row(shape, wish, low, 2, 2, shape->h, BP_BOTTOM, 4);
    shape->w = 6 + fmax(2, 1 + 1.6 * ceil(bp_small_text_cells(shape->scale)));
    shape->w = ceil(shape->w);
}

/* IEC 60617 converter: a box with a diagonal, direct current on both sides of it. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 3)
        return;
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_lead(canvas, shape, i, 4);
    bp_ink_box(canvas, shape, 1, 2.7, 6, 2.6);
    bp_ink_line(canvas, shape, 1, 5.3, 7, 2.7);
    bp_ink_line(canvas, shape, 1.7, 3.25, 2.9, 3.25);
    bp_ink_line(canvas, shape, 1.7, 3.6, 2.9, 3.6);
    char volts[24];
    if (bp_caption_value(part, "volts", volts, sizeof volts) > 0)
        bp_ink_text(canvas, shape, 5.3, 4.65, volts, BP_SMALL_TEXT, BP_BOLD, BP_CENTRE);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "regulator", "volts", text, size);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    if (part->n_pins <= BP_REGULATOR_PIN_OUT)
        return 0;
    pairs[0][0] = BP_REGULATOR_PIN_15;
    pairs[0][1] = BP_REGULATOR_PIN_31;
    pairs[1][0] = BP_REGULATOR_PIN_15;
    pairs[1][1] = BP_REGULATOR_PIN_OUT;
    return 2;
}

const bp_symbol bp_symbol_regulator = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
