/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every symbol: its terminals stand on the edge of its box on whole cells, its ink stays in the
 * box, all pins of the part are there, at any scale and mirrored; and odd parts (no pins, as many
 * as a drawing takes) have a finite shape too.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/kinds/relay.h"
#include "symbol_page.h"

static const double scales[] = {1.0, 0.72, 0.47};
enum { N_SCALES = sizeof scales / sizeof scales[0], AWAY = 200 };

static bp_wish wish_at(double scale) {
    return (bp_wish){
        .scale = scale, .name_w = 50 / (BP_CELL * scale), .name_h = 24 / (BP_CELL * scale)};
}

static void check_terminals(const bp_part *part, const bp_shape *shape) {
    bool dot = part->kind == &bp_kind_splice;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        const bp_terminal *t = &shape->terminal[i];
        assert_true(t->x == floor(t->x) && t->y == floor(t->y));
        assert_true(t->x >= 0 && t->x <= shape->w);
        if (dot) /* wires come to its middle */
            continue;
        assert_true((t->side == BP_TOP && t->y == 0) || (t->side == BP_BOTTOM && t->y == shape->h));
        for (size_t k = 0; k < i; k++)
            assert_false(shape->terminal[k].x == t->x && shape->terminal[k].y == t->y);
    }
}

static void test_terminals_stand_on_the_edge(void **state) {
    const bp_circuit *circuit = *state;
    for (size_t i = 0; i < circuit->n_parts; i++)
        for (size_t s = 0; s < N_SCALES; s++)
            for (size_t piece = 0; piece < bp_symbol_pieces(&circuit->parts[i]); piece++) {
                bp_shape shape;
                bp_wish wish = wish_at(scales[s]);
                bp_symbol_of(&circuit->parts[i])->shape(&circuit->parts[i], piece, &wish, &shape);
                check_terminals(&circuit->parts[i], &shape);
            }
}

static void test_every_pin_is_there_once(void **state) {
    const bp_circuit *circuit = *state;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        size_t seen[BP_MAX_TERMINALS] = {0};
        for (size_t piece = 0; piece < bp_symbol_pieces(part); piece++) {
            bp_shape shape;
            bp_wish wish = wish_at(1);
            bp_symbol_of(part)->shape(part, piece, &wish, &shape);
            for (size_t t = 0; t < shape.n_terminals; t++)
                seen[shape.terminal[t].pin]++;
        }
        for (size_t pin = 0; pin < part->n_pins; pin++)
            if (seen[pin] != (bp_pin_is_drawn(part, pin) ? 1u : 0u))
                fail_msg("%s.%s is drawn %zu times", part->id, part->pins[pin].name, seen[pin]);
    }
}

/* What the symbol's ink takes on the page, against its box; a line's half width may stand over. */
static bool ink_stays_in(const bp_part *part, double scale, bool mirror, const bp_look *look) {
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "ink", NULL);
    bp_shape shape;
    bp_wish wish = wish_at(scale);
    bp_symbol_of(part)->shape(part, 0, &wish, &shape);
    shape.mirror = mirror;
    bp_canvas_push(canvas, AWAY, AWAY, 0, scale);
    bp_symbol_of(part)->draw(canvas, part, &shape, look);
    bp_canvas_pop(canvas);
    bp_box ink = bp_canvas_inked(canvas, 0);
    bp_canvas_free(&canvas);
    double w = shape.w * BP_CELL * scale, h = shape.h * BP_CELL * scale, over = 1.2;
    bool inside = ink.w > 0 && ink.x >= AWAY - over && ink.y >= AWAY - over &&
                  ink.x + ink.w <= AWAY + w + over && ink.y + ink.h <= AWAY + h + over;
    if (!inside)
        print_error("%s at %.2f%s: ink %.1f %.1f %.1f %.1f outside %.1f %.1f\n", part->id, scale,
                    mirror ? " mirrored" : "", ink.x - AWAY, ink.y - AWAY, ink.x + ink.w - AWAY,
                    ink.y + ink.h - AWAY, w, h);
    return inside;
}

static void test_ink_stays_in_the_box(void **state) {
    const bp_circuit *circuit = *state;
    size_t outside = 0;
    for (size_t i = 0; i < circuit->n_parts; i++)
        for (size_t s = 0; s < N_SCALES; s++)
            for (int way = 0; way < 4; way++) {
                bp_look look = {.setting = way & 1, .position = way & 1};
                outside += !ink_stays_in(&circuit->parts[i], scales[s], way & 2, &look);
            }
    assert_int_equal(outside, 0);
}

/* The picture of one symbol, as a file's bytes; owned by the caller. */
static unsigned char *picture(const bp_part *part, const bp_look *look, size_t *size) {
    static const char path[] = "symbol-position.svg";
    bp_canvas *canvas = bp_canvas_new(path, BP_PAPER_A4, "position", NULL);
    bp_shape shape;
    bp_wish wish = wish_at(1);
    bp_symbol_of(part)->shape(part, 0, &wish, &shape);
    bp_symbol_of(part)->draw(canvas, part, &shape, look);
    assert_int_equal(bp_canvas_finish(canvas, NULL), BP_OK);
    bp_canvas_free(&canvas);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    unsigned char *bytes = malloc(1 << 20);
    assert_non_null(bytes);
    *size = fread(bytes, 1, 1 << 20, file);
    fclose(file);
    remove(path);
    return bytes;
}

/* A closed contact and an open one do not look alike. */
static void test_positions_look_different(void **state) {
    const bp_circuit *circuit = *state;
    static const char *const ids[] = {"switch",       "inertia_switch",   "thermal_switch",
                                      "relay",        "relay2",           "ignition_switch",
                                      "fuse",         "low_side_driver",  "wiper_motor",
                                      "selector",     "pressure_switch",  "high_side_driver",
                                      "level_switch", "solid_state_relay"};
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++) {
        const bp_part *part = &circuit->parts[bp_part_find(circuit, ids[i])];
        size_t size[2];
        unsigned char *shown[2];
        for (int on = 0; on < 2; on++)
            shown[on] = picture(part, &(bp_look){.setting = on, .position = on}, &size[on]);
        bool same = size[0] == size[1] && memcmp(shown[0], shown[1], size[0]) == 0;
        free(shown[0]);
        free(shown[1]);
        if (same)
            fail_msg("%s looks the same in both positions", ids[i]);
    }
}

/* A fed pin goes to the top, whichever number it has. */
static void test_the_higher_pin_stands_up(void **state) {
    const bp_circuit *circuit = *state;
    const bp_part *relay = &circuit->parts[bp_part_find(circuit, "relay")];
    double height[5] = {0};
    height[BP_RELAY_PIN_85] = 1;
    height[BP_RELAY_PIN_87] = 0.9;
    height[BP_RELAY_PIN_87A] = 0.9;
    bp_wish wish = wish_at(1);
    wish.height = height;
    bp_shape shape;
    bp_symbol_of(relay)->shape(relay, 0, &wish, &shape);
    check_terminals(relay, &shape);
    for (size_t i = 0; i < shape.n_terminals; i++) {
        bool up = height[shape.terminal[i].pin] > 0;
        assert_int_equal(shape.terminal[i].side, up ? BP_TOP : BP_BOTTOM);
    }
}

static void check_odd_part(bp_canvas *canvas, const bp_part *model, size_t n_pins, bp_pin *pins) {
    bp_part part = *model;
    part.n_pins = n_pins;
    part.pins = pins;
    for (size_t piece = 0; piece < bp_symbol_pieces(&part); piece++) {
        bp_shape shape;
        bp_wish wish = wish_at(0.72);
        bp_symbol_of(&part)->shape(&part, piece, &wish, &shape);
        assert_true(isfinite(shape.w) && isfinite(shape.h) && shape.w > 0 && shape.h > 0);
        assert_true(shape.n_terminals <= BP_MAX_TERMINALS);
        for (size_t t = 0; t < shape.n_terminals; t++)
            assert_true(shape.terminal[t].pin < n_pins);
        bp_symbol_of(&part)->draw(canvas, &part, &shape, &(bp_look){.setting = 0});
    }
}

static void test_odd_parts_have_a_shape(void **state) {
    const bp_circuit *circuit = *state;
    static char name[] = "9";
    bp_pin pins[BP_MAX_TERMINALS];
    for (size_t i = 0; i < BP_MAX_TERMINALS; i++)
        pins[i] = (bp_pin){.name = name, .n_wires = 1};
    const bp_part *last = NULL; /* parts of one kind stand together */
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (last && last->kind == part->kind)
            continue;
        last = part;
        bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "odd", NULL);
        for (size_t n = 0; n <= BP_MAX_TERMINALS; n++)
            check_odd_part(canvas, part, n, pins);
        bp_canvas_free(&canvas);
    }
}

/* The pages to look at: symbols.png, symbols-2.png in the build folder. */
static void test_reference_page(void **state) {
    assert_true(write_symbol_page(*state, "symbols.png"));
}

static int setup(void **state) {
    *state = every_kind();
    return *state ? 0 : -1;
}

static int teardown(void **state) {
    bp_circuit *circuit = *state;
    bp_circuit_free(&circuit);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_terminals_stand_on_the_edge),
        cmocka_unit_test(test_every_pin_is_there_once),
        cmocka_unit_test(test_ink_stays_in_the_box),
        cmocka_unit_test(test_positions_look_different),
        cmocka_unit_test(test_the_higher_pin_stands_up),
        cmocka_unit_test(test_odd_parts_have_a_shape),
        cmocka_unit_test(test_reference_page),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
