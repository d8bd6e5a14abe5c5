/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/speed_input.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t top[] = {BP_SPEED_PIN_IN, BP_SPEED_PIN_RETURN, BP_SPEED_PIN_15};
    bp_shape_begin(shape, wish, piece, 10, 10);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_SPEED_PIN_15)
        return;
    const size_t n = bp_pin_is_drawn(part, BP_SPEED_PIN_15) ? 3 : 2;
    bp_shape_row(shape, wish, top, n, 2, 0, BP_TOP, 5);
    bp_shape_terminal(shape, BP_SPEED_PIN_31, shape->terminal[1].x, shape->h, BP_BOTTOM);
    const double names = ceil(2.2 * bp_small_text_cells(shape->scale));
    shape->w = fmax(10, shape->terminal[n - 1].x + fmax(3, 1 + names));
}

/* The signal goes into what makes square pulses of it and counts them; its return joins the ground.
 */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 3)
        return;
    const double back = shape->terminal[1].x;
    bp_ink_line(canvas, shape, 2, 0, 2, 4);
    bp_ink_box(canvas, shape, 1, 4, 3.6, 2);
    static const double pulse[][2] = {{1.3, 5.5}, {1.8, 5.5}, {1.8, 4.5}, {2.4, 4.5}, {2.4, 5.5},
                                      {3, 5.5},   {3, 4.5},   {3.6, 4.5}, {3.6, 5.5}, {4.2, 5.5}};
    for (size_t i = 1; i < sizeof pulse / sizeof *pulse; i++)
        bp_ink_fine(canvas, shape, pulse[i - 1][0], pulse[i - 1][1], pulse[i][0], pulse[i][1]);
    bp_ink_line(canvas, shape, 4.6, 5, back, 5);
    bp_ink_line(canvas, shape, back, 0, back, 10);
    bp_ink_dot(canvas, shape, back, 5);
    for (size_t i = 0; i < shape->n_terminals; i++)
        if (shape->terminal[i].pin == BP_SPEED_PIN_15) {
            const double x = shape->terminal[i].x;
            bp_ink_line(canvas, shape, x, 0, x, 7);
            bp_ink_line(canvas, shape, x, 7, 2.8, 7);
            bp_ink_line(canvas, shape, 2.8, 7, 2.8, 6);
        }
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "speed input");
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    static const size_t all[][2] = {{BP_SPEED_PIN_IN, BP_SPEED_PIN_RETURN},
                                    {BP_SPEED_PIN_RETURN, BP_SPEED_PIN_31},
                                    {BP_SPEED_PIN_15, BP_SPEED_PIN_31}};
    const size_t n = part->n_pins > BP_SPEED_PIN_15 ? 3 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_speed_input = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
