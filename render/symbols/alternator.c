/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/alternator.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t top[] = {BP_ALTERNATOR_PIN_B, BP_ALTERNATOR_PIN_D, BP_ALTERNATOR_PIN_S};
    bp_shape_begin(shape, wish, piece, 10, 10);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_ALTERNATOR_PIN_S)
        return;
    const size_t n = bp_pin_is_drawn(part, BP_ALTERNATOR_PIN_S) ? 3 : 2;
    bp_shape_row(shape, wish, top, n, 2, 0, BP_TOP, 4);
    bp_shape_terminal(shape, BP_ALTERNATOR_PIN_31, 2, shape->h, BP_BOTTOM);
    shape->w =
        fmax(10, shape->terminal[n - 1].x + fmax(2, 1 + ceil(bp_small_text_cells(shape->scale))));
}

/* IEC 60617: a three-phase generator behind a rectifier; the regulator is a box on its field. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 3)
        return;
    const double d = shape->terminal[1].x;
    /* From the machine up through a diode to the output. */
    bp_ink_line(canvas, shape, 2, 0, 2, 4.6);
    bp_ink_triangle(canvas, shape, 2, 0.6, 3.2, 2.2);
    bp_ink_line(canvas, shape, 1.4, 2.2, 2.6, 2.2);
    bp_ink_circle(canvas, shape, 2, 5.9, 1.3);
    bp_ink_letter(canvas, shape, 2, 5.6, "G", 10);
    bp_ink_text(canvas, shape, 2, 6.65, "3 ~", BP_SMALL_TEXT, BP_REGULAR, BP_CENTRE);
    bp_ink_line(canvas, shape, 2, 7.2, 2, 10);
    /* The field with its regulator. */
    bp_ink_line(canvas, shape, d, 0, d, 3.2);
    bp_ink_winding(canvas, shape, d, 3.2, 5.4, 3, -1);
    bp_ink_line(canvas, shape, d, 5.4, d, 6.2);
    bp_ink_box(canvas, shape, d - 0.9, 6.2, 1.8, 1.6);
    bp_ink_text(canvas, shape, d, 7, "U", BP_SMALL_TEXT, BP_BOLD, BP_CENTRE);
    bp_ink_line(canvas, shape, d, 7.8, d, 8.6);
    bp_ink_line(canvas, shape, d, 8.6, 2, 8.6);
    bp_ink_dot(canvas, shape, 2, 8.6);
    bp_ink_link(canvas, shape, 3.3, 5.9, d - 0.5, 4.4);
    for (size_t i = 0; i < shape->n_terminals; i++) {
        if (shape->terminal[i].pin != BP_ALTERNATOR_PIN_S)
            continue;
        const double s = shape->terminal[i].x;
        bp_ink_line(canvas, shape, s, 0, s, 7);
        bp_ink_line(canvas, shape, s, 7, d + 0.9, 7);
    }
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "alternator", "current", text, size);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    if (part->n_pins <= BP_ALTERNATOR_PIN_D)
        return 0;
    pairs[0][0] = BP_ALTERNATOR_PIN_B;
    pairs[0][1] = BP_ALTERNATOR_PIN_31;
    pairs[1][0] = BP_ALTERNATOR_PIN_D;
    pairs[1][1] = BP_ALTERNATOR_PIN_31;
    return 2;
}

const bp_symbol bp_symbol_alternator = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
