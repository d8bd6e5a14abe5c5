/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/flasher.h"
#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    static const size_t bottom[] = {BP_FLASHER_PIN_49A, BP_FLASHER_PIN_31};
    bp_shape_begin(shape, wish, piece, 7, 7);
    shape->name = BP_NAME_RIGHT;
    if (part->n_pins <= BP_FLASHER_PIN_31)
        return;
    const size_t n = bp_pin_is_drawn(part, BP_FLASHER_PIN_31) ? 2 : 1;
    bp_shape_terminal(shape, BP_FLASHER_PIN_49, 2, 0, BP_TOP);
    bp_shape_row(shape, wish, bottom, n, 2, shape->h, BP_BOTTOM, 3);
    const double names = ceil(bp_small_text_cells(shape->scale));
    shape->w = fmax(7, shape->terminal[n].x + 1 + names);
}

/* A contact that square waves work. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    bp_ink_housing(canvas, shape, 0.4, 0.6, shape->w - 0.8, shape->h - 1.2);
    if (shape->n_terminals < 2)
        return;
    const bool lit = look->position == 1 || look->position == 3;
    bp_ink_lead(canvas, shape, 0, 2.4);
    bp_ink_lead(canvas, shape, 1, 4.6);
    bp_ink_contact(canvas, shape, 2, 2.4, 4.6, lit);
    bp_ink_link(canvas, shape, lit ? 2.1 : 1.5, 3.5, 3.4, 3.5);
    bp_ink_box(canvas, shape, 3.4, 2.6, 2.8, 1.8);
    double x = 3.8;
    const double low = 3.9, high = 3.1;
    for (int i = 0; i < 2; i++, x += 1) {
        bp_ink_line(canvas, shape, x, low, x, high);
        bp_ink_line(canvas, shape, x, high, x + 0.5, high);
        bp_ink_line(canvas, shape, x + 0.5, high, x + 0.5, low);
        bp_ink_line(canvas, shape, x + 0.5, low, x + (i == 0 ? 1 : 0.8), low);
    }
    if (shape->n_terminals > 2)
        bp_ink_lead(canvas, shape, 2, 4.4);
    bp_ink_pin_names_in(canvas, part, shape, 0.7);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "flasher", "load", text, size);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    static const size_t all[][2] = {{BP_FLASHER_PIN_49, BP_FLASHER_PIN_49A},
                                    {BP_FLASHER_PIN_49, BP_FLASHER_PIN_31}};
    size_t n = part->n_pins > BP_FLASHER_PIN_31 ? 2 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_flasher = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
