/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A module's output that pulls 85 ohm to ground. Its feed comes through R1; the
 * module is 12 V / 0.15 A = 80 ohm and works from 6 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS(feed, more)                                                                          \
    "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: " feed "}, "                   \
    "R2: {kind: resistor, resistance: 85 ohm}, A: {kind: low-side-driver" more "}"
#define LOAD "W1: {from: B.+, to: R2.1}, W2: {from: R2.2, to: A.out}, W3: {from: A.31, to: B.-}"
#define WIRES LOAD ", W4: {from: B.+, to: R1.1}, W5: {from: R1.2, to: A.15}"
#define STATES "off: {}, on: {A: on, from: off}"

/* On: 12 * 0.604 / 85.604 = 0.0847 V. Off: 0.1 Mohm to ground leaves 12 * (1 - 85 / 100085). */
static void it_pulls_its_load_to_ground(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("10 ohm", ""), WIRES, STATES);
    assert_string_equal(desk_says(&d, "off", NULL, "A", NULL), "off");
    desk_near(desk_volts(&d, "off", NULL, "A.out", NULL), 11.990, 2e-3, "leakage");
    assert_string_equal(desk_says(&d, "on", NULL, "A", NULL), "on");
    desk_near(desk_volts(&d, "on", NULL, "A.out", NULL), 0.0847, 1e-3, "divider");
    desk_clear(&d);
}

/* 12 * 80 / (80 + R1): 6.4 V at 70 ohm works, 5.33 V at 100 ohm does not. */
static void a_module_without_feed_or_ground_is_dead(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("70 ohm", ""), WIRES, STATES);
    assert_string_equal(desk_says(&d, "on", NULL, "A", NULL), "on");
    assert_string_equal(desk_says(&d, "on", "A.15:open", "A", NULL), "dead");
    assert_string_equal(desk_says(&d, "on", "A.31:open", "A", NULL), "dead");
    desk_near(desk_volts(&d, "on", "A.15:open", "A.out", NULL), 11.990, 2e-3, "off");
    desk_clear(&d);
    desk_set(&d, PARTS("100 ohm", ""), WIRES, STATES);
    assert_string_equal(desk_says(&d, "on", NULL, "A", NULL), "dead");
    desk_clear(&d);
    /* Without a wire on 15 the module counts as fed. */
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, R2: {kind: resistor, resistance: 85 ohm}, "
             "A: {kind: low-side-driver}",
             LOAD, STATES);
    assert_string_equal(desk_says(&d, "on", NULL, "A", NULL), "on");
    desk_clear(&d);
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("10 ohm", ""), WIRES, STATES);
    desk_near(desk_volts(&d, "on", "A:output-open", "A.out", NULL), 12, 2e-3, "open");
    desk_near(desk_volts(&d, "off", "A:output-shorted=0.5ohm", "A.out", NULL), 12 * 0.504 / 85.504,
              1e-3, "shorted");
    desk_near(desk_volts(&d, "on", "A:no-request", "A.out", NULL), 11.990, 2e-3, "nobody asks");
    assert_string_equal(desk_says(&d, "on", "A:no-request", "A", NULL), "off");
    desk_near(desk_volts(&d, "on", "A:weak=30ohm", "A.out", NULL), 12 * 30.004 / 115.004, 2e-3,
              "weak");
    desk_near(desk_volts(&d, "off", "A:leaky=300ohm", "A.out", NULL), 12 * 300.0 / 385, 2e-3,
              "leaky");
    desk_clear(&d);
}

/* With its load shorted the output would carry 12 / 0.604 = 20 A, over its limit of 2 A. Without a
 * limit it does. */
static void it_sheds_an_overload(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("10 ohm", ", limit: 2 A"), WIRES, STATES);
    assert_string_equal(desk_says(&d, "on", NULL, "A", NULL), "on");
    assert_string_equal(desk_says(&d, "on", "R2:short", "A", NULL), "shut-down");
    desk_near(desk_volts(&d, "on", "R2:short", "A.out", NULL), 12, 2e-3, "shut down");
    assert_string_equal(desk_says(&d, "off", "R2:short", "A", NULL), "off");
    desk_clear(&d);
    desk_set(&d, PARTS("10 ohm", ""), WIRES, STATES);
    assert_string_equal(desk_says(&d, "on", "R2:short", "A", NULL), "on");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_pulls_its_load_to_ground),
        cmocka_unit_test(a_module_without_feed_or_ground_is_dead),
        cmocka_unit_test(each_fault_has_its_reading),
        cmocka_unit_test(it_sheds_an_overload),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
