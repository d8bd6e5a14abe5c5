/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/ignition_driver.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t top[] = {BP_IGNITER_PIN_OUT, BP_IGNITER_PIN_15};
    bp_shape_begin(shape, wish, piece, 8, 8);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_IGNITER_PIN_15)
        return;
    size_t n = bp_pin_is_drawn(part, BP_IGNITER_PIN_15) ? 2 : 1;
    bp_shape_row(shape, wish, top, n, 2, 0, BP_TOP, 4);
    bp_shape_terminal(shape, BP_IGNITER_PIN_31, 2, shape->h, BP_BOTTOM);
    double names = ceil(bp_small_text_cells(shape->scale));
    shape->w = fmax(8, shape->terminal[n - 1].x + fmax(2, 1 + names));
}

/* A transistor, and what tells it to switch: a train of pulses. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 2)
        return;
    double x = 2, base = 2.9;
    bp_ink_line(canvas, shape, x, 0, x, 3);
    bp_ink_line(canvas, shape, x, 3, base, 3.7);
    bp_ink_line(canvas, shape, base, 4.3, x, 5);
    bp_ink_arrow(canvas, shape, x + 0.05, 4.96, -0.79, 0.61);
    bp_ink_line(canvas, shape, x, 5, x, 8);
    bp_ink_heavy(canvas, shape, base, 3.2, base, 4.8);
    bp_ink_line(canvas, shape, base, 4, 4.2, 4);
    bp_ink_box(canvas, shape, 4.2, 3.1, 3, 1.8);
    static const double pulse[][2] = {{4.5, 4.5}, {4.9, 4.5}, {4.9, 3.5}, {5.4, 3.5}, {5.4, 4.5},
                                      {6, 4.5},   {6, 3.5},   {6.5, 3.5}, {6.5, 4.5}, {6.9, 4.5}};
    for (size_t i = 1; i < sizeof pulse / sizeof *pulse; i++)
        bp_ink_line(canvas, shape, pulse[i - 1][0], pulse[i - 1][1], pulse[i][0], pulse[i][1]);
    bp_ink_line(canvas, shape, 6, 4.9, 6, 5.5);
    bp_ink_line(canvas, shape, 6, 5.5, x, 5.5);
    bp_ink_dot(canvas, shape, x, 5.5);
    for (size_t i = 0; i < shape->n_terminals; i++)
        if (shape->terminal[i].pin == BP_IGNITER_PIN_15)
            bp_ink_lead(canvas, shape, i, 3.1);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "ignition driver");
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    static const size_t all[][2] = {{BP_IGNITER_PIN_OUT, BP_IGNITER_PIN_31},
                                    {BP_IGNITER_PIN_15, BP_IGNITER_PIN_31}};
    size_t n = part->n_pins > BP_IGNITER_PIN_15 ? 2 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_ignition_driver = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting, .paths = paths};
