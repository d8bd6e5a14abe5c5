/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Resistor packs of 1.2, 0.8 and 0.4 ohm before a load of 0.6 ohm on 13.5 V. By hand; pins have 2
 * mohm, the cut-out 1 mohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

#define WIRES                                                                                      \
    "W1: {from: B.+, to: S.p}, W2: {from: S.l, to: P.1}, W3: {from: S.h, to: P.4}, "               \
    "W4: {from: S.m, to: P.3}, W5: {from: P.4, to: R.1}, W6: {from: R.2, to: B.-}"

static void set(desk *d, const char *pack, const char *load) {
    char parts[400];
    snprintf(parts, sizeof parts,
             "B: {kind: source, emf: 13.5 V}, "
             "S: {kind: switch, resistance: 1 uohm, positions: {off: [], low: [[p, l]], "
             "third: [[p, m]], high: [[p, h]]}}, "
             "P: {kind: resistor-pack%s}, R: {kind: resistor, resistance: %s}",
             pack, load);
    desk_set(d, parts, WIRES, "low: {S: low}, third: {S: third}, high: {S: high}");
}

/* Low: 13.5 / (2.4 + 0.6 + 0.009) = 4.487 A: 2.692 V on the load; the tap behind the first step has
 * 13.5 - 4.487 * 1.206 = 8.089 V. It is warmed by 4.487^2 * 2.4 * 1.2 = 58.0 K over 20 degC. */
static void steps_divide_the_voltage(void **state) {
    (void)state;
    desk d;
    double celsius;
    set(&d, "", "0.6 ohm");
    desk_near(desk_volts(&d, "low", NULL, "R.1", NULL), 2.692, 5e-3, "three steps");
    desk_near(desk_volts(&d, "low", NULL, "P/2", NULL), 8.089, 5e-3, "first tap");
    desk_near(desk_volts(&d, "third", NULL, "R.1", NULL), 13.5 * 0.6 / 1.009, 0.01, "one step");
    desk_near(desk_volts(&d, "high", NULL, "R.1", NULL), 13.5 * 0.6 / 0.604, 0.03, "past the pack");
    assert_string_equal(desk_says(&d, "low", NULL, "P", &celsius), "holds");
    desk_near(celsius, 78.0, 0.5, "heat");
    desk_clear(&d);
}

/* The sign of an open cut-out: only the highest speed is left. */
static void each_fault_of_a_pack(void **state) {
    (void)state;
    desk d;
    set(&d, "", "0.6 ohm");
    desk_near(desk_volts(&d, "low", "P:cut-out-open", "R.1", NULL), 0, 1e-3, "cut out");
    desk_near(desk_volts(&d, "high", "P:cut-out-open", "R.1", NULL), 13.4, 0.05, "highest speed");
    assert_string_equal(desk_says(&d, "low", "P:cut-out-open", "P", NULL), "cut-out");
    desk_near(desk_volts(&d, "low", "P:step-1-open", "R.1", NULL), 0, 1e-3, "first step");
    desk_near(desk_volts(&d, "third", "P:step-1-open", "R.1", NULL), 13.5 * 0.6 / 1.009, 0.01,
              "the third speed does without it");
    desk_near(desk_volts(&d, "low", "P:step-2-open", "R.1", NULL), 0, 1e-3, "second step");
    desk_near(desk_volts(&d, "third", "P:step-3-open", "R.1", NULL), 0, 1e-3, "third step");
    desk_near(desk_volts(&d, "low", "P:step-1-short", "R.1", NULL), 13.5 * 0.6 / 1.81, 0.01, "1");
    desk_near(desk_volts(&d, "low", "P:step-2-short", "R.1", NULL), 13.5 * 0.6 / 2.21, 0.01, "2");
    desk_near(desk_volts(&d, "low", "P:step-3-short", "R.1", NULL), 13.5 * 0.6 / 2.61, 0.01, "3");
    desk_clear(&d);
}

/* Still air: 8 * 58.0 = 464 K are more than the 164 K up to 184 degC, reached after
 * -30 ln(1 - 164 / 464) = 13 s: a melting link stays open, a disc closes again. Without a cut-out
 * it gets to 484 degC. A motor held still, 0.2 ohm, on the third speed: (13.5 / 0.609)^2 * 0.4
 * * 1.2 = 236 K even in moving air. */
static void it_cuts_out_when_it_overheats(void **state) {
    (void)state;
    desk d;
    double celsius;
    set(&d, "", "0.6 ohm");
    assert_true(desk_blown(&d, "low", "P:no-air", "P"));
    desk_near(desk_volts(&d, "low", "P:no-air", "R.1", NULL), 0, 1e-3, "link melted");
    desk_clear(&d);
    set(&d, ", cut-out: disc", "0.6 ohm");
    assert_string_equal(desk_says(&d, "low", "P:no-air", "P", NULL), "cycles");
    assert_false(desk_blown(&d, "low", "P:no-air", "P"));
    desk_clear(&d);
    set(&d, ", cut-out: none", "0.6 ohm");
    assert_string_equal(desk_says(&d, "low", "P:no-air", "P", &celsius), "too-hot");
    desk_near(celsius, 484, 3, "nothing cuts it out");
    desk_clear(&d);
    set(&d, "", "0.2 ohm");
    assert_true(desk_blown(&d, "third", NULL, "P"));
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_divide_the_voltage),
        cmocka_unit_test(each_fault_of_a_pack),
        cmocka_unit_test(it_cuts_out_when_it_overheats),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
