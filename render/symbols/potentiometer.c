/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/kinds/potentiometer.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_begin(shape, wish, piece, 6, 6);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_POT_PIN_3)
        return;
    shape->flip = bp_wish_height(wish, BP_POT_PIN_3) > bp_wish_height(wish, BP_POT_PIN_1);
    bp_shape_terminal(shape, shape->flip ? BP_POT_PIN_3 : BP_POT_PIN_1, 2, 0, BP_TOP);
    bp_shape_terminal(shape, shape->flip ? BP_POT_PIN_1 : BP_POT_PIN_3, 2, 6, BP_BOTTOM);
    bp_shape_terminal(shape, BP_POT_PIN_2, 4, 6, BP_BOTTOM);
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_line(canvas, shape, 2, 0, 2, 6);
    bp_ink_box(canvas, shape, 1.45, 1.6, 1.1, 2.8);
    if (shape->n_terminals < 3)
        return;
    bp_ink_line(canvas, shape, 4, 6, 4, 3);
    bp_ink_line(canvas, shape, 4, 3, 2.6, 3);
    bp_ink_arrow(canvas, shape, 2.57, 3, -1, 0);
    for (size_t i = 0; i < shape->n_terminals; i++)
        bp_ink_pin_name(canvas, part, shape, i,
                        shape->terminal[i].pin == BP_POT_PIN_2 ? BP_LEFT : BP_RIGHT);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "potentiometer", "resistance", text, size);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    if (part->n_pins <= BP_POT_PIN_3)
        return 0;
    pairs[0][0] = BP_POT_PIN_1;
    pairs[0][1] = BP_POT_PIN_3;
    pairs[1][0] = BP_POT_PIN_2;
    pairs[1][1] = BP_POT_PIN_3;
    return 2;
}

const bp_symbol bp_symbol_potentiometer = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting, .paths = paths};
