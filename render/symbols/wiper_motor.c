/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/wiper_motor.h"
#include "render/symbol_ink.h"

/* Columns in shape->at. */
enum { FEED, COMMON, SLOW, FAST };

static const size_t top_pins[] = {BP_WIPER_PIN_53A, BP_WIPER_PIN_53E, BP_WIPER_PIN_53,
                                  BP_WIPER_PIN_53B};

/* Park switch left, motor right, one ground for both; the name beside the motor. */
static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_begin(shape, wish, piece, 18, 12);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_WIPER_PIN_31)
        return;
    bp_shape_row(shape, wish, top_pins, 4, 2, 0, BP_TOP, 4);
    for (size_t i = 0; i < 4; i++)
        shape->at[i] = shape->terminal[i].x;
    double middle = floor((shape->at[SLOW] + shape->at[FAST]) / 2);
    bp_shape_terminal(shape, BP_WIPER_PIN_31, middle, shape->h, BP_BOTTOM);
    /* "53b" stands beside the last column, inside the housing. */
    shape->w = shape->at[FAST] + fmax(3, ceil(1.2 + 2 * bp_small_text_cells(shape->scale)));
}

static void draw_park_switch(bp_canvas *canvas, const bp_shape *shape, bool parked, double ground) {
    double hinge = shape->at[COMMON], feed = hinge - 1.3, rest = hinge + 1.3, level = 6.6;
    bp_ink_line(canvas, shape, shape->at[FEED], 0, shape->at[FEED], level);
    bp_ink_line(canvas, shape, shape->at[FEED], level, feed, level);
    bp_ink_line(canvas, shape, hinge, 0, hinge, 4.2);
    bp_ink_line(canvas, shape, rest, level, rest, 10);
    bp_ink_line(canvas, shape, rest, 10, ground, 10);
    bp_ink_dot(canvas, shape, ground, 10);
    bp_ink_line(canvas, shape, hinge, 4.2, parked ? rest : feed, level);
    bp_ink_contact_end(canvas, shape, hinge, 4.2);
    bp_ink_contact_end(canvas, shape, feed, level);
    bp_ink_contact_end(canvas, shape, rest, level);
    /* The cam on the motor's gear works the blade. */
    bp_ink_link(canvas, shape, hinge + (parked ? 0.7 : -0.6), 5.4, ground - 1.75, 5.4);
}

static void draw_brush(bp_canvas *canvas, const bp_shape *shape, double column, double brush) {
    bp_ink_line(canvas, shape, column, 0, column, 3.2);
    bp_ink_line(canvas, shape, column, 3.2, brush, 3.2);
    bp_ink_line(canvas, shape, brush, 3.2, brush, 5.6);
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    if (shape->n_terminals < 5)
        return;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    double middle = shape->terminal[4].x;
    draw_park_switch(canvas, shape, look->setting == BP_WIPER_PARKED, middle);
    draw_brush(canvas, shape, shape->at[SLOW], middle - 0.7);
    draw_brush(canvas, shape, shape->at[FAST], middle + 0.9);
    bp_ink_line(canvas, shape, middle, 6, middle, shape->h);
    bp_ink_circle(canvas, shape, middle, 6.2, 1.75);
    bp_ink_letter(canvas, shape, middle, 6.2, "M", 14);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "wiper motor", "current", text, size);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    static const size_t all[][2] = {{BP_WIPER_PIN_53, BP_WIPER_PIN_31},
                                    {BP_WIPER_PIN_53B, BP_WIPER_PIN_31},
                                    {BP_WIPER_PIN_53A, BP_WIPER_PIN_53E},
                                    {BP_WIPER_PIN_53E, BP_WIPER_PIN_31}};
    size_t n = part->n_pins > BP_WIPER_PIN_31 ? 4 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_wiper_motor = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting, .paths = paths};
