/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/module_input.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t top[] = {BP_INPUT_PIN_IN, BP_INPUT_PIN_15};
    bp_shape_begin(shape, wish, piece, 8, 9);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_INPUT_PIN_15)
        return;
    size_t n = bp_pin_is_drawn(part, BP_INPUT_PIN_15) ? 2 : 1;
    bp_shape_row(shape, wish, top, n, 2, 0, BP_TOP, 4);
    bp_shape_terminal(shape, BP_INPUT_PIN_31, 6, shape->h, BP_BOTTOM);
    shape->w = 6 + fmax(2, 1 + ceil(bp_small_text_cells(shape->scale)));
}

/* The resistor that pulls, on column x: from the feed above or to the ground below the input. */
static void draw_pull(bp_canvas *canvas, const bp_part *part, const bp_shape *shape, double x) {
    int pull = (int)bp_part_value(part, "pull");
    if (pull == BP_INPUT_PULL_NONE)
        return;
    double far = pull == BP_INPUT_PULL_UP ? 2.4 : 6.6, y = fmin(far, 4.5);
    bp_ink_line(canvas, shape, x, 4.5, x, far);
    bp_ink_box(canvas, shape, x - 0.35, y + 0.4, 0.7, 1.3);
    bp_ink_line(canvas, shape, 2, 4.5, x, 4.5);
    bp_ink_dot(canvas, shape, 2, 4.5);
    if (pull == BP_INPUT_PULL_DOWN) {
        bp_ink_dot(canvas, shape, x, far);
        return;
    }
    char volts[24];
    if (bp_caption_value(part, "volts", volts, sizeof volts) > 0)
        bp_ink_text(canvas, shape, x + 0.6, y + 1.05, volts, BP_SMALL_TEXT, BP_REGULAR, BP_LEFT);
    bp_ink_line(canvas, shape, x - 0.5, far, x + 0.5, far);
    if (bp_pin_is_drawn(part, BP_INPUT_PIN_15))
        bp_ink_line(canvas, shape, x, far, 6, far);
}

/* What reads: the threshold's loop for a level, a pointer on a scale for a voltage. */
static void draw_reader(bp_canvas *canvas, const bp_part *part, const bp_shape *shape) {
    bp_ink_box(canvas, shape, 1.1, 5.7, 1.8, 1.8);
    if ((int)bp_part_value(part, "reads") == BP_INPUT_READS_VOLTAGE) {
        bp_ink_letter(canvas, shape, 2, 6.6, "V", 11);
        return;
    }
    bp_ink_fine(canvas, shape, 1.3, 7.1, 2.2, 7.1);
    bp_ink_fine(canvas, shape, 2.2, 7.1, 2.2, 6.1);
    bp_ink_fine(canvas, shape, 2.7, 6.1, 1.8, 6.1);
    bp_ink_fine(canvas, shape, 1.8, 6.1, 1.8, 7.1);
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 2)
        return;
    bp_ink_line(canvas, shape, 2, 0, 2, 5.7);
    draw_pull(canvas, part, shape, 4);
    draw_reader(canvas, part, shape);
    bp_ink_line(canvas, shape, 2.9, 6.6, 6, 6.6);
    bp_ink_line(canvas, shape, 6, 6.6, 6, shape->h);
    for (size_t i = 0; i < shape->n_terminals; i++)
        if (shape->terminal[i].pin == BP_INPUT_PIN_15)
            bp_ink_lead(canvas, shape, i,
                        (int)bp_part_value(part, "pull") == BP_INPUT_PULL_UP ? 2.4 : 6.6);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    char pull[24];
    int way = (int)bp_part_value(part, "pull");
    if (way == BP_INPUT_PULL_NONE ||
        bp_caption_value(part, "pull-resistance", pull, sizeof pull) <= 0)
        return part->label ? 0 : snprintf(text, size, "module input");
    return snprintf(text, size, "%spull-%s %s", part->label ? "" : "module input · ",
                    way == BP_INPUT_PULL_UP ? "up" : "down", pull);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    static const size_t all[][2] = {{BP_INPUT_PIN_IN, BP_INPUT_PIN_31},
                                    {BP_INPUT_PIN_15, BP_INPUT_PIN_31}};
    size_t n = part->n_pins > BP_INPUT_PIN_15 ? 2 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_module_input = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
