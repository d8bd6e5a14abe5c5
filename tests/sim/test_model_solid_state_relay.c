/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A solid-state relay that feeds 12 ohm, asked by a switch in its control wire.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS(more)                                                                                \
    "B: {kind: source, emf: 12 V}, K: {kind: solid-state-relay" more "}, "                         \
    "R: {kind: resistor, resistance: 12 ohm}, "                                                    \
    "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}"
#define WIRES(plus, minus)                                                                         \
    "W1: {from: B.+, to: K.30}, W2: {from: K.87, to: R.1}, W3: {from: R.2, to: B.-}, "             \
    "W4: {from: B.+, to: S.1}, W5: {from: S.2, to: K." plus "}, W6: {from: K." minus ", to: B.-}"
#define STATES "off: {}, on: {S: pressed, from: off}"

static void check(desk *d, const char *state, const char *fault, double volts, double within,
                  const char *says) {
    desk_near(desk_volts(d, state, fault, "K.87", NULL), volts, within, fault ? fault : state);
    assert_string_equal(desk_says(d, state, fault, "K", NULL), says);
}

/* 12 * 12 / (12 + 0.01 + two contacts of 2 mohm). */
static void it_switches_its_load(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS(""), WIRES("86", "85"), STATES);
    check(&d, "off", NULL, 0, 1e-3, "off");
    check(&d, "on", NULL, 144 / 12.014, 2e-3, "on");
    check(&d, "on", "W5:open", 0, 1e-3, "off");
    check(&d, "off", "R:open", 10.915, 2e-3, "off"); /* 12 * 10 / 11, and 6.6 nA */
    desk_clear(&d);
    /* The control input minds its polarity. */
    desk_set(&d, PARTS(""), WIRES("85", "86"), STATES);
    check(&d, "on", NULL, 0, 1e-3, "off");
    desk_clear(&d);
}

/* Its diode takes 0.66 V: 1 kohm in series leave (12 - 0.66) / 2 + 0.66 = 6.3 V, over 4 V; 3 kohm
 * leave (12 - 0.66) / 4 + 0.66 = 3.5 V. */
static void it_needs_its_control_voltage(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS(""), WIRES("86", "85"), STATES);
    check(&d, "on", "W5:resistance=1kohm", 144 / 12.014, 2e-3, "on");
    check(&d, "on", "S:resistance=1kohm+W5:resistance=1kohm+W6:resistance=1kohm", 0, 1e-3, "off");
    desk_clear(&d);
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS(""), WIRES("86", "85"), STATES);
    check(&d, "on", "K:output-open", 0, 1e-3, "on");
    check(&d, "off", "K:output-shorted=0.05ohm", 144 / 12.054, 2e-3, "off");
    check(&d, "on", "K:control-open", 0, 1e-3, "off");
    check(&d, "on", "K:weak=1ohm", 144 / 13.004, 3e-3, "on");
    check(&d, "off", "K:leaky=300ohm", 144.0 / 312, 2e-3, "off");
    desk_clear(&d);
    desk_set(&d, PARTS(", limit: 30 A"), WIRES("86", "85"), STATES);
    check(&d, "on", "R:short", 0, 1e-3, "shut-down");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_switches_its_load),
        cmocka_unit_test(it_needs_its_control_voltage),
        cmocka_unit_test(each_fault_has_its_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
