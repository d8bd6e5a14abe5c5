/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/gauge.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t low[] = {BP_GAUGE_PIN_G, BP_GAUGE_PIN_31};
    bp_shape_begin(shape, wish, piece, 6, 8);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_GAUGE_PIN_31)
        return;
    double small = bp_small_text_cells(shape->scale);
    shape->h = 6 + 2 * ceil(small);
    bp_shape_terminal(shape, BP_GAUGE_PIN_15, 3, 0, BP_TOP);
    bp_shape_row(shape, wish, low, 2, 2, shape->h, BP_BOTTOM, 2);
    shape->w = fmax(6, 4 + 1 + ceil(1.6 * small));
}

/* IEC 60617 indicating instrument: a circle with a needle. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    double y = shape->h / 2;
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_lead(canvas, shape, i, y);
    bp_ink_circle(canvas, shape, 3, y, 1.9);
    for (int i = -2; i <= 2; i++) {
        double a = i * 0.45;
        bp_ink_fine(canvas, shape, 3 + 1.35 * sin(a), y + 0.5 - 1.75 * cos(a), 3 + 1.55 * sin(a),
                    y + 0.5 - 2.0 * cos(a));
    }
    bp_ink_line(canvas, shape, 3, y + 0.9, 3.62, y - 0.75);
    bp_ink_arrow(canvas, shape, 3.68, y - 0.92, 0.35, -0.94);
    bp_ink_dot(canvas, shape, 3, y + 0.9);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i,
                        shape->terminal[i].pin == BP_GAUGE_PIN_G ? BP_RIGHT : BP_LEFT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "gauge");
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    if (part->n_pins <= BP_GAUGE_PIN_31)
        return 0;
    pairs[0][0] = BP_GAUGE_PIN_15;
    pairs[0][1] = BP_GAUGE_PIN_G;
    pairs[1][0] = BP_GAUGE_PIN_G;
    pairs[1][1] = BP_GAUGE_PIN_31;
    return 2;
}

const bp_symbol bp_symbol_gauge = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
