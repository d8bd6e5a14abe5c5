/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_inline(part, wish, piece, shape, 4, 6, 2);
    shape->name = BP_NAME_RIGHT;
}

/* M over the sign of direct current. */
static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    (void)look;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, 3);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_circle(canvas, shape, 2, 3, 1.75);
    bp_ink_letter(canvas, shape, 2, 2.75, "M", 14);
    bp_ink_fine(canvas, shape, 1.35, 3.75, 2.65, 3.75);
    for (int i = 0; i < 3; i++)
        bp_ink_fine(canvas, shape, 1.35 + 0.5 * i, 4.05, 1.65 + 0.5 * i, 4.05);
}

static int caption(const bp_part *part, char *text, size_t size) {
    int load = bp_kind_param(part->kind, "load");
    double index = bp_part_value(part, "load");
    char words[40] = "motor";
    if (load >= 0 && !isnan(index) && part->kind->params[load].choices)
        snprintf(words, sizeof words, "%s motor", part->kind->params[load].choices[(int)index]);
    return bp_caption_kind_value(part, words, "current", text, size);
}

const bp_symbol bp_symbol_motor = {.shape = shape, .draw = draw, .caption = caption};
