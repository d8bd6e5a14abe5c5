/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    (void)piece;
    if (part->n_pins <= 2) {
        bp_shape_contact(part, wish, 0, 1, shape);
        return;
    }
    bool up[BP_MAX_TERMINALS] = {false}, left_out[BP_MAX_TERMINALS] = {false};
    for (size_t pin = 0; pin < part->n_pins && pin < BP_MAX_TERMINALS; pin++) {
        up[pin] = pin == 0;
        left_out[pin] = !bp_pin_is_drawn(part, pin);
    }
    bp_shape_contacts(part, wish, shape, up, left_out);
    shape->name = BP_NAME_RIGHT;
}

static void draw_two(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                     const bp_look *look) {
    bool closed = bp_position_joins(part, look->setting, 0, 1);
    bp_ink_contact_in_line(canvas, part, shape, closed);
    /* Worked by hand: the link ends in a bar. */
    bp_ink_link(canvas, shape, 0.5, 2.5, closed ? 3.1 : 2.4, 2.5);
    bp_ink_line(canvas, shape, 0.5, 2, 0.5, 3);
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    if (part->n_pins <= 2) {
        draw_two(canvas, part, shape, look);
        return;
    }
    bool known = look->setting >= 0 && (size_t)look->setting < part->n_positions;
    const bp_position *position = known ? &part->positions[look->setting] : NULL;
    bp_ink_contacts(canvas, part, shape, position ? (const size_t(*)[2])position->pairs : NULL,
                    position ? position->n_pairs : 0);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "switch");
}

static const char *says(const bp_part *part, const bp_look *look) {
    return part->n_positions ? bp_says_setting(part, look) : NULL;
}

static bool listed(size_t (*pairs)[2], size_t n, const size_t *pair) {
    for (size_t i = 0; i < n; i++)
        if (pairs[i][0] == pair[0] && pairs[i][1] == pair[1])
            return true;
    return false;
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    size_t n = 0;
    for (size_t p = 0; p < part->n_positions; p++)
        for (size_t i = 0; i < part->positions[p].n_pairs && n < BP_MAX_TERMINALS; i++) {
            const size_t *pair = part->positions[p].pairs[i];
            if (listed(pairs, n, pair))
                continue;
            pairs[n][0] = pair[0];
            pairs[n++][1] = pair[1];
        }
    return n;
}

const bp_symbol bp_symbol_switch = {
    .shape = shape, .draw = draw, .caption = caption, .says = says, .paths = paths};
