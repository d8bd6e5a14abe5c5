/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "render/symbol_ink.h"

/* Pin 0 is the feed; the others are live in some settings (circuits/kinds/ignition_switch.c). */
static bool live(int setting, size_t pin) {
    static const bool table[4][5] = {{false, false, false, false, false},
                                     {true, true, false, false, false},
                                     {true, true, true, true, false},
                                     {true, false, true, false, true}};
    return setting >= 0 && setting < 4 && pin < 5 && table[setting][pin];
}

/* The one output that is used, or 0 when there are more (or none). */
static size_t only_output(const bp_part *part) {
    size_t only = 0, n = 0;
    for (size_t pin = 1; pin < part->n_pins; pin++)
        if (bp_pin_is_drawn(part, pin)) {
            only = pin;
            n++;
        }
    return n == 1 ? only : 0;
}

static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    (void)piece;
    size_t out = only_output(part);
    if (out) {
        bp_shape_contact(part, wish, 0, out, shape);
        return;
    }
    bool up[BP_MAX_TERMINALS] = {true}, left_out[BP_MAX_TERMINALS] = {false};
    for (size_t pin = 0; pin < part->n_pins && pin < BP_MAX_TERMINALS; pin++)
        left_out[pin] = !bp_pin_is_drawn(part, pin);
    bp_shape_contacts(part, wish, shape, up, left_out);
    shape->name = BP_NAME_RIGHT;
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    size_t out = only_output(part);
    if (out) {
        /* Worked by turning a key. */
        bool closed = live(look->setting, out);
        bp_ink_contact_in_line(canvas, part, shape, closed);
        bp_ink_link(canvas, shape, 1.3, 2.5, closed ? 3.1 : 2.4, 2.5);
        bp_ink_circle(canvas, shape, 0.8, 2.5, 0.5);
        bp_ink_line(canvas, shape, 0.8, 2.15, 0.8, 2.85);
        return;
    }
    size_t joined[BP_MAX_TERMINALS][2], n = 0;
    for (size_t pin = 1; pin < part->n_pins && pin < BP_MAX_TERMINALS; pin++)
        if (live(look->setting, pin)) {
            joined[n][0] = 0;
            joined[n++][1] = pin;
        }
    bp_ink_contacts(canvas, part, shape, (const size_t(*)[2])joined, n);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return part->label ? 0 : snprintf(text, size, "ignition switch");
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    size_t n = 0;
    for (size_t pin = 1; pin < part->n_pins && n < BP_MAX_TERMINALS; pin++) {
        pairs[n][0] = 0;
        pairs[n++][1] = pin;
    }
    return n;
}

const bp_symbol bp_symbol_ignition_switch = {
    .shape = shape, .draw = draw, .caption = caption, .says = bp_says_setting, .paths = paths};
