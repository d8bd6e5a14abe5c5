/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/resistor_pack.h"
#include "render/symbol_ink.h"

/* Row of the resistors. */
#define ROW 3.4

/* The columns of all pins, drawn or not, are in shape->at; the motor's side is below the last. */
static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_begin(shape, wish, piece, 16, 8);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_PACK_PIN_4)
        return;
    double x = 2;
    for (size_t pin = BP_PACK_PIN_1; pin < BP_PACK_PIN_4; pin++) {
        shape->at[pin] = x;
        if (bp_pin_is_drawn(part, pin))
            bp_shape_terminal(shape, pin, x, 0, BP_TOP);
        x += fmax(4, ceil(wish && wish->room && pin > 0 ? wish->room[pin] : 0));
    }
    shape->at[BP_PACK_PIN_4] = x;
    bp_shape_terminal(shape, BP_PACK_PIN_4, x, shape->h, BP_BOTTOM);
    shape->w = x + 2;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 2)
        return;
    for (size_t i = 0; i < 3; i++) {
        const double from = shape->at[i], to = shape->at[i + 1];
        bp_ink_line(canvas, shape, from, ROW, to, ROW);
        bp_ink_box(canvas, shape, (from + to) / 2 - 1.1, ROW - 0.5, 2.2, 1);
    }
    for (size_t i = 0; i + 1 < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, ROW);
        if (i > 0)
            bp_ink_dot(canvas, shape, shape->terminal[i].x, ROW);
    }
    /* The cut-out: a fuse in the way out, a gap in it when it has opened. */
    const double x = shape->at[3];
    bp_ink_box(canvas, shape, x - 0.45, 4, 0.9, 1.9);
    bp_ink_line(canvas, shape, x, ROW, x, look->position ? 4.5 : 5.9);
    bp_ink_line(canvas, shape, x, look->position ? 5.4 : 5.9, x, shape->h);
    bp_ink_letter(canvas, shape, x - 1.1, 4.95, "ϑ", 11);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "resistor pack");
}

static const char *says(const bp_part *part, const bp_look *look) {
    (void)part;
    return look->position ? "cut out" : NULL;
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    size_t n = part->n_pins > BP_PACK_PIN_4 ? 3 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = i;
        pairs[i][1] = i + 1;
    }
    return n;
}

const bp_symbol bp_symbol_resistor_pack = {
    .shape = shape, .draw = draw, .caption = caption, .says = says, .paths = paths};
