/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A module's output that feeds 12 ohm. The module is 12 V / 0.15 A = 80 ohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS                                                                                      \
    "B: {kind: source, emf: 12 V}, A: {kind: high-side-driver}, "                                  \
    "R: {kind: resistor, resistance: 12 ohm}"
#define WIRES                                                                                      \
    "W1: {from: B.+, to: A.30}, W2: {from: A.out, to: R.1}, W3: {from: R.2, to: B.-}, "            \
    "W4: {from: A.31, to: B.-}"
#define STATES "off: {}, on: {A: on, from: off}"

static void check(desk *d, const char *state, const char *fault, double volts, double within,
                  const char *says) {
    desk_near(desk_volts(d, state, fault, "A.out", NULL), volts, within, fault ? fault : state);
    assert_string_equal(desk_says(d, state, fault, "A", NULL), says);
}

/* On: 12 * 12 / (12 + 0.03 + two contacts of 2 mohm). Off, the leakage of 1 Mohm shows only once
 * the load is gone: with a meter of 10 Mohm 12 * 10 / 11 V, a ghost, and 6 mV more
 * by the 6.6 nA that its diode leaks. */
static void it_feeds_its_load(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, STATES);
    check(&d, "off", NULL, 0, 1e-3, "off");
    check(&d, "on", NULL, 144 / 12.034, 2e-3, "on");
    check(&d, "off", "R:open", 10.915, 2e-3, "off");
    desk_clear(&d);
}

/* 12 * 80 / (80 + R): 6.4 V through 70 ohm works, 5.33 V through 100 ohm does not. */
static void a_module_without_feed_or_ground_is_dead(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES ", W5: {from: B.+, to: A.15}", STATES);
    check(&d, "on", "A.15:resistance=70ohm", 144 / 12.034, 2e-3, "on");
    check(&d, "on", "A.15:resistance=100ohm", 0, 1e-3, "dead");
    check(&d, "on", "A.15:open", 0, 1e-3, "dead");
    check(&d, "on", "A.31:open", 0, 1e-3, "dead");
    desk_clear(&d);
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, STATES);
    check(&d, "on", "A:output-open", 0, 1e-3, "on");
    check(&d, "off", "A:output-shorted=0.1ohm", 144 / 12.104, 2e-3, "off");
    check(&d, "on", "A:no-request", 0, 1e-3, "off");
    check(&d, "on", "A:weak=2ohm", 144 / 14.004, 3e-3, "on");
    check(&d, "off", "A:leaky=300ohm", 144.0 / 312, 2e-3, "off");
    desk_clear(&d);
}

/* A shorted load would take 12 / 0.034 = 353 A; it sheds what is over 25 A. */
static void it_sheds_an_overload(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, STATES);
    check(&d, "on", "R:short", 0, 1e-3, "shut-down");
    check(&d, "off", "R:short", 0, 1e-3, "off");
    desk_clear(&d);
}

/* Its load fed through 1 ohm from elsewhere, its own feed open: the transistor's diode feeds the
 * module. At some 0.13 A it drops 1.85 * 25.85 mV * ln(0.13 A / 6.6 nA) = 0.80 V, so that 12 - o =
 * o / 12 + (o - 0.8) / 80: o = 10.96 V, and 10.15 V at the module. */
static void it_feeds_back(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS ", R2: {kind: resistor, resistance: 1 ohm}",
             WIRES ", W6: {from: B.+, to: R2.1}, W7: {from: R2.2, to: A.out}", STATES);
    check(&d, "off", "A.30:open", 10.96, 0.02, "off");
    desk_near(desk_volts(&d, "off", "A.30:open", "A/30", NULL), 10.15, 0.05, "through the diode");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_feeds_its_load),
        cmocka_unit_test(a_module_without_feed_or_ground_is_dead),
        cmocka_unit_test(each_fault_has_its_reading),
        cmocka_unit_test(it_sheds_an_overload),
        cmocka_unit_test(it_feeds_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
