/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An input with a switch, or a thermistor, and what the module reads. Behind 2.2 kohm from 5 V; 1
 * Mohm of the input and 10 Mohm of the meter are 0.909 Mohm beside it.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS(more)                                                                                \
    "B: {kind: source, emf: 12 V}, A: {kind: module-input" more "}, "                              \
    "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}"
#define FEEDS "W1: {from: B.+, to: A.15}, W2: {from: A.31, to: B.-}, W3: {from: A.in, to: S.1}, "
#define STATES "released: {}, pressed: {S: pressed, from: released}"

static void check(desk *d, const char *state, const char *fault, double volts, double within,
                  const char *says) {
    const char *what = fault ? fault : state;
    desk_near(desk_volts(d, state, fault, "A.in", NULL), volts, within, what);
    assert_string_equal(desk_says(d, state, fault, "A", NULL), says);
}

/* Released 5 * 909.1 / 911.3 = 4.988 V; pressed nothing. Through 1 kohm of dirt 5 * 998.9 /
 * 3198.9 = 1.561 V, between 1.5 and 3.5 V. */
static void a_switch_to_ground_pulls_it_low(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS(""), FEEDS "W4: {from: S.2, to: B.-}", STATES);
    check(&d, "released", NULL, 4.988, 2e-3, "high");
    check(&d, "pressed", NULL, 0, 1e-3, "low");
    check(&d, "pressed", "S:resistance=1kohm", 5 * 998.9 / 3198.9, 3e-3, "undecided");
    check(&d, "pressed", "W3:open", 4.988, 2e-3, "high");
    check(&d, "released", "W3:short-to-ground", 0, 1e-2, "low");
    desk_clear(&d);
}

/* A switch to the feed wants a pull-down: 0 V and 12 V. */
static void a_switch_to_the_feed_pulls_it_high(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS(", pull: down"), FEEDS "W4: {from: S.2, to: B.+}", STATES);
    check(&d, "released", NULL, 0, 1e-3, "low");
    check(&d, "pressed", NULL, 12, 1e-3, "high");
    check(&d, "pressed", "W3:open", 0, 1e-3, "low");
    desk_clear(&d);
}

static void a_module_needs_feed_and_ground(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS(""), FEEDS "W4: {from: S.2, to: B.-}", STATES);
    check(&d, "released", "A.15:open", 0, 1e-3, "dead");
    assert_string_equal(desk_says(&d, "released", "A.31:open", "A", NULL), "dead");
    desk_clear(&d);
    /* Without a wire on 15 it is fed from the battery. */
    desk_set(&d, PARTS("") ", R: {kind: resistor, resistance: 100 ohm}",
             "W1: {from: B.+, to: R.1}, W2: {from: A.31, to: B.-}, W3: {from: A.in, to: S.1}, "
             "W4: {from: S.2, to: B.-}, W5: {from: R.2, to: B.-}",
             STATES);
    check(&d, "released", NULL, 4.988, 2e-3, "high");
    desk_clear(&d);
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS(""), FEEDS "W4: {from: S.2, to: B.-}", STATES);
    check(&d, "released", "A:pull-open", 0, 1e-3, "low");
    /* Outside nothing holds the wire, inside the pull reads high for ever. */
    check(&d, "released", "A:input-open", 0, 1e-3, "high");
    check(&d, "pressed", "A:input-open", 0, 1e-3, "high");
    check(&d, "released", "A:ground-leak=50ohm", 5 * 50.0 / 2250, 2e-3, "low");
    /* The module's 5 V takes nothing back: 200 ohm carry the 13 uA of input and meter. */
    check(&d, "released", "A:feed-leak=200ohm", 11.997, 2e-3, "high");
    check(&d, "released", "A:stuck-low", 4.988, 2e-3, "low");
    check(&d, "pressed", "A:stuck-high", 0, 1e-3, "high");
    desk_clear(&d);
}

/* Coolant table (from memory): 2500 ohm at 20 degC, 186 at 100, beside 0.909 Mohm 2493.1 and 186.0:
 * 5 * 2493.1 / 4693.1 = 2.656 V and 5 * 186 / 2386 = 0.390 V. */
static void a_sensor_is_measured(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, A: {kind: module-input, reads: voltage}, "
             "S: {kind: thermistor}",
             FEEDS "W4: {from: S.2, to: B.-}", "cold: {engine: 20 degC}, hot: {engine: 100 degC}");
    check(&d, "cold", NULL, 2.656, 2e-3, "voltage");
    check(&d, "hot", NULL, 0.390, 1e-3, "voltage");
    check(&d, "cold", "W3:open", 4.988, 2e-3, "too-high");
    check(&d, "cold", "S:short", 0, 1e-3, "too-low");
    double value;
    assert_string_equal(desk_says(&d, "cold", "A:misreads=50%", "A", &value), "voltage");
    desk_near(value, 5 * 2493.8 / 4693.8 / 2, 2e-3, "half of what stands there");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_switch_to_ground_pulls_it_low),
        cmocka_unit_test(a_switch_to_the_feed_pulls_it_high),
        cmocka_unit_test(a_module_needs_feed_and_ground),
        cmocka_unit_test(each_fault_has_its_reading),
        cmocka_unit_test(a_sensor_is_measured),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
