/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/kinds/ignition_coil.h"
#include "render/symbol_ink.h"

/* A coil for two plugs: the secondary's other end is a terminal too. */
static bool has_two_ends(const bp_part *part) {
    return part->n_pins > BP_IGNITION_PIN_4B && bp_pin_is_drawn(part, BP_IGNITION_PIN_4B);
}

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_begin(shape, wish, piece, has_two_ends(part) ? 8 : 7, 8);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_IGNITION_PIN_4)
        return;
    shape->flip =
        bp_wish_height(wish, BP_IGNITION_PIN_1) > bp_wish_height(wish, BP_IGNITION_PIN_15);
    double h = shape->h;
    bp_shape_terminal(shape, BP_IGNITION_PIN_15, 2, shape->flip ? h : 0,
                      shape->flip ? BP_BOTTOM : BP_TOP);
    bp_shape_terminal(shape, BP_IGNITION_PIN_1, 2, shape->flip ? 0 : h,
                      shape->flip ? BP_TOP : BP_BOTTOM);
    if (bp_pin_is_drawn(part, BP_IGNITION_PIN_4))
        bp_shape_terminal(shape, BP_IGNITION_PIN_4, 5, 0, BP_TOP);
    if (has_two_ends(part))
        bp_shape_terminal(shape, BP_IGNITION_PIN_4B, 5, h, BP_BOTTOM);
}

/* The secondary's foot is on terminal 1, its head on terminal 4 or on the way to a plug that this
 * circuit does not show. */
static void draw_ends(bp_canvas *canvas, const bp_shape *shape, double top, double low) {
    double foot = shape->flip ? top : low, hot = shape->flip ? low : top;
    double end = shape->flip ? 1.5 : 6.5;
    bp_ink_line(canvas, shape, 5, foot, 5, end);
    bp_ink_line(canvas, shape, 5, end, 2, end);
    bp_ink_dot(canvas, shape, 2, end);
    if (shape->n_terminals == 3 && !shape->flip) {
        bp_ink_line(canvas, shape, 5, hot, 5, 0);
    } else if (shape->n_terminals == 3) {
        bp_ink_line(canvas, shape, 5, hot, 6, hot);
        bp_ink_line(canvas, shape, 6, hot, 6, 1);
        bp_ink_line(canvas, shape, 6, 1, 5, 1);
        bp_ink_line(canvas, shape, 5, 1, 5, 0);
    } else {
        double out = shape->flip ? 6.9 : 1.1;
        bp_ink_line(canvas, shape, 5, hot, 5, out);
        bp_ink_arrow(canvas, shape, 5, out, 0, shape->flip ? 1 : -1);
    }
}

/* Primary, iron core, secondary. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 2)
        return;
    double top = 2.3, low = 5.7;
    bp_ink_line(canvas, shape, 2, 0, 2, top);
    bp_ink_winding(canvas, shape, 2, top, low, 4, 1);
    bp_ink_line(canvas, shape, 2, low, 2, 8);
    bp_ink_line(canvas, shape, 3.3, top, 3.3, low);
    bp_ink_line(canvas, shape, 3.7, top, 3.7, low);
    bp_ink_winding(canvas, shape, 5, top, low, 6, -1);
    if (has_two_ends(part)) {
        bp_ink_line(canvas, shape, 5, 0, 5, top);
        bp_ink_line(canvas, shape, 5, low, 5, 8);
    } else
        draw_ends(canvas, shape, top, low);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "ignition coil", "primary", text, size);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    const size_t foot = has_two_ends(part) ? BP_IGNITION_PIN_4B : BP_IGNITION_PIN_1;
    const size_t all[][2] = {{BP_IGNITION_PIN_15, BP_IGNITION_PIN_1}, {BP_IGNITION_PIN_4, foot}};
    size_t n = part->n_pins > BP_IGNITION_PIN_4 ? 2 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_ignition_coil = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
