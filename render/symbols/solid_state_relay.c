/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/solid_state_relay.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t top[] = {BP_SOLID_STATE_PIN_86, BP_SOLID_STATE_PIN_30};
    static const size_t low[] = {BP_SOLID_STATE_PIN_85, BP_SOLID_STATE_PIN_87};
    bp_shape_begin(shape, wish, piece, 8, 8);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_SOLID_STATE_PIN_85)
        return;
    bp_shape_row(shape, wish, top, 2, 2, 0, BP_TOP, 4);
    bp_shape_row(shape, wish, low, 2, 2, shape->h, BP_BOTTOM, 4);
    shape->w = 6 + fmax(2, 1 + ceil(bp_small_text_cells(shape->scale)));
}

/* A light-emitting diode on the control side works a transistor. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 4)
        return;
    bp_ink_line(canvas, shape, 2, 0, 2, 8);
    bp_ink_triangle(canvas, shape, 2, 0.55, 3.5, 4.45);
    bp_ink_line(canvas, shape, 1.45, 4.5, 2.55, 4.5);
    for (int i = 0; i < 2; i++) {
        double y = 3.65 + 0.5 * i;
        bp_ink_fine(canvas, shape, 2.95, y, 3.8, y);
        bp_ink_arrow(canvas, shape, 4.15, y, 1, 0);
    }
    double x = 6, base = 5.1;
    bp_ink_line(canvas, shape, x, 0, x, 3);
    bp_ink_line(canvas, shape, x, 3, base, 3.7);
    bp_ink_line(canvas, shape, base, 4.3, x, 5);
    bp_ink_arrow(canvas, shape, x - 0.05, 4.96, 0.79, 0.61);
    bp_ink_line(canvas, shape, x, 5, x, 8);
    bp_ink_heavy(canvas, shape, base, 3.2, base, 4.8);
    bp_ink_text(canvas, shape, 3.9, 5.6, look->position ? "on" : "off", BP_SMALL_TEXT, BP_BOLD,
                BP_CENTRE);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "solid-state relay");
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    static const size_t all[][2] = {{BP_SOLID_STATE_PIN_30, BP_SOLID_STATE_PIN_87},
                                    {BP_SOLID_STATE_PIN_86, BP_SOLID_STATE_PIN_85}};
    size_t n = part->n_pins > BP_SOLID_STATE_PIN_85 ? 2 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_solid_state_relay = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
