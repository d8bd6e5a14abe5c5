/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/hall_sensor.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t top[] = {BP_HALL_PIN_FEED, BP_HALL_PIN_OUT};
    bp_shape_begin(shape, wish, piece, 8, 8);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_HALL_PIN_GROUND)
        return;
    bp_shape_row(shape, wish, top, 2, 2, 0, BP_TOP, 4);
    bp_shape_terminal(shape, BP_HALL_PIN_GROUND, 2, shape->h, BP_BOTTOM);
    shape->w = fmax(8, shape->terminal[1].x + fmax(2, 1 + ceil(bp_small_text_cells(shape->scale))));
}

/* IEC 60617: a Hall plate, a square with its diagonals, and the transistor that it switches. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 3)
        return;
    const double out = shape->terminal[1].x, base = out - 0.9;
    bp_ink_line(canvas, shape, 2, 0, 2, 3);
    bp_ink_box(canvas, shape, 1, 3, 2, 2);
    bp_ink_line(canvas, shape, 1, 3, 3, 5);
    bp_ink_line(canvas, shape, 1, 5, 3, 3);
    bp_ink_line(canvas, shape, 2, 5, 2, 8);
    bp_ink_line(canvas, shape, 3, 4, base, 4);
    bp_ink_heavy(canvas, shape, base, 3.2, base, 4.8);
    bp_ink_line(canvas, shape, out, 0, out, 3);
    bp_ink_line(canvas, shape, out, 3, base, 3.7);
    bp_ink_line(canvas, shape, base, 4.3, out, 5);
    bp_ink_arrow(canvas, shape, out - 0.05, 4.96, 0.79, 0.61);
    bp_ink_line(canvas, shape, out, 5, out, 6.2);
    bp_ink_line(canvas, shape, out, 6.2, 2, 6.2);
    bp_ink_dot(canvas, shape, 2, 6.2);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "Hall sensor");
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    if (part->n_pins <= BP_HALL_PIN_GROUND)
        return 0;
    pairs[0][0] = BP_HALL_PIN_FEED;
    pairs[0][1] = BP_HALL_PIN_GROUND;
    pairs[1][0] = BP_HALL_PIN_OUT;
    pairs[1][1] = BP_HALL_PIN_GROUND;
    return 2;
}

const bp_symbol bp_symbol_hall_sensor = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting, .paths = paths};
