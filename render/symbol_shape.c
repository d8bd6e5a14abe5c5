/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the terminals of a symbol stand.
 */
#include <math.h>
#include <string.h>

#include "render/symbol_ink.h"

void bp_shape_begin(bp_shape *shape, const bp_wish *wish, size_t piece, double w, double h) {
    memset(shape, 0, sizeof *shape);
    shape->w = w;
    shape->h = h;
    shape->scale = wish ? wish->scale : 1;
    shape->piece = piece;
}

void bp_shape_terminal(bp_shape *shape, size_t pin, double x, double y, bp_side side) {
    if (shape->n_terminals >= BP_MAX_TERMINALS)
        return;
    shape->terminal[shape->n_terminals++] = (bp_terminal){.pin = pin, .x = x, .y = y, .side = side};
}

double bp_wish_height(const bp_wish *wish, size_t pin) {
    if (wish && wish->height)
        return wish->height[pin];
    return pin == 0 ? 1 : 0;
}

double bp_shape_row(bp_shape *shape, const bp_wish *wish, const size_t *pins, size_t n, double x,
                    double y, bp_side side, double pitch) {
    for (size_t i = 0; i < n; i++) {
        bp_shape_terminal(shape, pins[i], x, y, side);
        if (i + 1 == n)
            break;
        /* The first one's tag hangs to the left, the last one's to the right: only those between
         * need room. */
        double room = wish && wish->room && i > 0 ? wish->room[pins[i]] : 0;
        x += fmax(ceil(pitch), ceil(room));
    }
    return x;
}

void bp_shape_inline(const bp_part *part, const bp_wish *wish, size_t piece, bp_shape *shape,
                     double w, double h, double x) {
    bp_shape_begin(shape, wish, piece, w, h);
    if (part->n_pins < 2) {
        if (part->n_pins == 1)
            bp_shape_terminal(shape, 0, x, 0, BP_TOP);
        return;
    }
    shape->flip = bp_wish_height(wish, 1) > bp_wish_height(wish, 0);
    bp_shape_terminal(shape, 0, x, shape->flip ? h : 0, shape->flip ? BP_BOTTOM : BP_TOP);
    bp_shape_terminal(shape, 1, x, shape->flip ? 0 : h, shape->flip ? BP_TOP : BP_BOTTOM);
}

void bp_shape_contact(const bp_part *part, const bp_wish *wish, size_t a, size_t b,
                      bp_shape *shape) {
    bp_shape_begin(shape, wish, 0, 4, 5);
    shape->name = BP_NAME_RIGHT;
    if (a >= part->n_pins || b >= part->n_pins)
        return;
    bool flip = bp_wish_height(wish, b) > bp_wish_height(wish, a);
    bp_shape_terminal(shape, flip ? b : a, 3, 0, BP_TOP);
    bp_shape_terminal(shape, flip ? a : b, 3, 5, BP_BOTTOM);
}

double bp_small_text_cells(double scale) { return BP_SMALL_TEXT * 1.2 / (BP_CELL * scale); }

/* Which pins of a switch stand at the top: those fed from above more often than not. */
static void sort_pins(const bp_part *part, const bp_wish *wish, const bool *drawn_up,
                      const bool *left_out, size_t *up, size_t *n_up, size_t *down,
                      size_t *n_down) {
    *n_up = *n_down = 0;
    for (size_t pin = 0; pin < part->n_pins && pin < BP_MAX_TERMINALS; pin++) {
        if (left_out[pin])
            continue;
        bool high = drawn_up[pin];
        if (wish && wish->height) {
            double lowest = 1, highest = 0;
            for (size_t other = 0; other < part->n_pins && other < BP_MAX_TERMINALS; other++) {
                lowest = fmin(lowest, wish->height[other]);
                highest = fmax(highest, wish->height[other]);
            }
            if (highest - lowest > 1e-6)
                high = wish->height[pin] > (highest + lowest) / 2;
        }
        if (high)
            up[(*n_up)++] = pin;
        else
            down[(*n_down)++] = pin;
    }
}

void bp_shape_contacts(const bp_part *part, const bp_wish *wish, bp_shape *shape,
                       const bool *drawn_up, const bool *left_out) {
    size_t up[BP_MAX_TERMINALS], down[BP_MAX_TERMINALS], n_up, n_down;
    sort_pins(part, wish, drawn_up, left_out, up, &n_up, down, &n_down);
    bp_shape_begin(shape, wish, 0, 4, 6);
    double small = bp_small_text_cells(shape->scale);
    shape->h = 5 + 2 * ceil(small);
    double pitch = fmax(3, ceil(1 + 1.8 * small));
    double top = bp_shape_row(shape, wish, up, n_up, 0, 0, BP_TOP, pitch);
    double low = bp_shape_row(shape, wish, down, n_down, 0, shape->h, BP_BOTTOM, pitch);
    /* The shorter row is centred over the longer one, on whole cells. */
    double widest = fmax(top, low);
    for (size_t i = 0; i < shape->n_terminals; i++) {
        double row = i < n_up ? top : low;
        shape->terminal[i].x += 2 + floor((widest - row) / 2);
    }
    shape->w = widest + 2 + fmax(2, ceil(0.9 + 1.7 * small));
}
