/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/relay.h"
#include "render/symbol_ink.h"

/* Columns in shape->at, and the row of the link. */
enum { COIL, MIDDLE, CONTACT, CONTACT_A };

#define SUPPRESSION 1.4

enum { NOTHING, RESISTOR, DIODE_UP, DIODE_DOWN };

/* What sits across the coil; the diode's cathode points to pin 86 (up) or 85. */
static int suppression(const bp_part *part) {
    if (!isnan(part->param[BP_RELAY_SUPPRESSION_RESISTOR]))
        return RESISTOR;
    double diode = part->param[BP_RELAY_SUPPRESSION_DIODE];
    if (diode == BP_RELAY_DIODE_CATHODE_86)
        return DIODE_UP;
    return diode == BP_RELAY_DIODE_CATHODE_85 ? DIODE_DOWN : NOTHING;
}

static void terminal(bp_shape *shape, size_t pin, double column, bool up) {
    bp_shape_terminal(shape, pin, column, up ? 0 : shape->h, up ? BP_TOP : BP_BOTTOM);
}

/* Coil left, contact right, the name between them over the link. */
static void shape(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape) {
    bp_shape_begin(shape, wish, piece, 12, 8);
    double name_w = wish ? wish->name_w : 3, name_h = wish ? wish->name_h : 2;
    double number = 2.4 * bp_small_text_cells(shape->scale);
    bool changes_over = bp_pin_is_drawn(part, BP_RELAY_PIN_87A);
    shape->at[COIL] = suppression(part) == NOTHING ? 2 : 4;
    shape->at[MIDDLE] = fmax(4, ceil(name_h + 1.2));
    shape->h = shape->at[MIDDLE] + 4;
    shape->name = BP_NAME_INSIDE;
    shape->name_x = shape->at[COIL] + fmax(1.9, 0.3 + number);
    shape->name_y = 0.9;
    shape->at[CONTACT] = ceil(shape->name_x + fmax(2, name_w) + 1.6);
    double room = wish && wish->room ? wish->room[BP_RELAY_PIN_87] : 0;
    shape->at[CONTACT_A] = shape->at[CONTACT] + fmax(3, ceil(room));
    shape->w = ceil((changes_over ? shape->at[CONTACT_A] : shape->at[CONTACT]) + 0.6 + number);
    if (part->n_pins <= BP_RELAY_PIN_87A)
        return;
    shape->flip = bp_wish_height(wish, BP_RELAY_PIN_85) > bp_wish_height(wish, BP_RELAY_PIN_86);
    shape->flip_other =
        wish && wish->height && wish->height[BP_RELAY_PIN_87] > wish->height[BP_RELAY_PIN_30];
    terminal(shape, BP_RELAY_PIN_86, shape->at[COIL], !shape->flip);
    terminal(shape, BP_RELAY_PIN_85, shape->at[COIL], shape->flip);
    terminal(shape, BP_RELAY_PIN_30, shape->at[CONTACT], !shape->flip_other);
    terminal(shape, BP_RELAY_PIN_87, shape->at[CONTACT], shape->flip_other);
    if (changes_over)
        terminal(shape, BP_RELAY_PIN_87A, shape->at[CONTACT_A], shape->flip_other);
}

static void draw_suppression(bp_canvas *canvas, const bp_part *part, const bp_shape *shape) {
    int sort = suppression(part);
    if (sort == NOTHING)
        return;
    double x = SUPPRESSION, mid = shape->at[MIDDLE], coil = shape->at[COIL];
    for (int end = -1; end <= 1; end += 2) {
        bp_ink_line(canvas, shape, x, mid + 1.8 * end, coil, mid + 1.8 * end);
        bp_ink_dot(canvas, shape, coil, mid + 1.8 * end);
    }
    bp_ink_line(canvas, shape, x, mid - 1.8, x, mid + 1.8);
    if (sort == RESISTOR) {
        bp_ink_box(canvas, shape, x - 0.4, mid - 1.1, 0.8, 2.2);
        return;
    }
    bool up = (sort == DIODE_UP) != shape->flip;
    double tip = mid + (up ? -0.6 : 0.6), foot = mid + (up ? 0.6 : -0.6);
    bp_ink_triangle(canvas, shape, x, 0.65, foot, tip);
    bp_ink_line(canvas, shape, x - 0.65, tip, x + 0.65, tip);
}

static void draw_contact(bp_canvas *canvas, const bp_shape *shape, bool pulled, bool changes_over) {
    double mid = shape->at[MIDDLE], x = shape->at[CONTACT];
    double up = shape->flip_other ? -1 : 1;
    double hinge = mid - 1.3 * up, fixed = mid + 1.3 * up;
    if (changes_over) {
        /* The resting contact stands where the released blade ends. */
        double rest = x + 1.3, level = mid + 1.0 * up;
        double out = shape->flip_other ? 0 : shape->h;
        bp_ink_line(canvas, shape, shape->at[CONTACT_A], out, shape->at[CONTACT_A], level);
        bp_ink_line(canvas, shape, shape->at[CONTACT_A], level, rest, level);
        bp_ink_line(canvas, shape, x, hinge, pulled ? x + 0.1 : rest, pulled ? fixed : level);
        bp_ink_contact_end(canvas, shape, rest, level);
        bp_ink_contact_end(canvas, shape, x, fixed);
        bp_ink_contact_end(canvas, shape, x, hinge);
    } else {
        bp_ink_contact(canvas, shape, x, fixed, hinge, pulled);
    }
}

static void draw(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look) {
    double mid = shape->at[MIDDLE], coil = shape->at[COIL], x = shape->at[CONTACT];
    double lead = 0.55;
    bp_ink_outline(canvas, shape, 0.2, lead, shape->w - 0.4, shape->h - 2 * lead);
    bool changes_over = shape->n_terminals > 4;
    bool pulled = look->position != 0;
    double blade = pulled ? x + 0.1 : changes_over ? x + 0.65 : x - 0.55;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        const bp_terminal *t = &shape->terminal[i];
        double toward = t->side == BP_TOP ? -1 : 1;
        bool contact = t->x >= x;
        if (t->x <= x)
            bp_ink_lead(canvas, shape, i, mid + toward * (contact ? 1.3 : 1.1));
    }
    bp_ink_link(canvas, shape, coil + 1.5, mid, blade, mid);
    bp_ink_box(canvas, shape, coil - 1.5, mid - 1.1, 3, 2.2);
    draw_suppression(canvas, part, shape);
    draw_contact(canvas, shape, pulled, changes_over);
    bp_ink_pin_names_in(canvas, part, shape, lead + 0.1);
}

static int caption(const bp_part *part, char *text, size_t size) {
    return bp_caption_kind_value(part, "relay", "coil", text, size);
}

static size_t paths(const bp_part *part, size_t (*pairs)[2]) {
    static const size_t all[][2] = {{BP_RELAY_PIN_86, BP_RELAY_PIN_85},
                                    {BP_RELAY_PIN_30, BP_RELAY_PIN_87},
                                    {BP_RELAY_PIN_30, BP_RELAY_PIN_87A}};
    size_t n = part->n_pins > BP_RELAY_PIN_87A ? 3 : 0;
    for (size_t i = 0; i < n; i++) {
        pairs[i][0] = all[i][0];
        pairs[i][1] = all[i][1];
    }
    return n;
}

const bp_symbol bp_symbol_relay = {
    .shape = shape, .draw = draw, .caption = caption, .paths = paths};
