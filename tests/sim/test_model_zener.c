/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A 12 V zener diode behind 300 ohm. By hand: 12 V at its test current of 20 mA, 4 ohm more for
 * every ampere more, and 1.85 * 25.85 mV for every factor e of current. Two pins have 4 mohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

static void set(desk *d, const char *emf, const char *ohm) {
    char parts[200];
    snprintf(parts, sizeof parts,
             "B: {kind: source, emf: %s}, R: {kind: resistor, resistance: %s}, "
             "D: {kind: zener, volts: 12 V}",
             emf, ohm);
    desk_set(d, parts,
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: D.K}, W3: {from: D.A, to: B.-}", NULL);
}

static double across(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "D.K", "D.A");
}

/* 18 V: (18 - 12) / 300 is its test current. 24 V: 39.6 mA, 12 + 4 * 0.0196 + 0.0478 ln(39.6 / 20)
 * = 12.11 V. 9 V: it blocks. 24 V behind 30 ohm: (24 - 13.4) / 30 = 0.35 A are far over 1.3 W. */
static void it_holds_its_voltage(void **state) {
    (void)state;
    desk d;
    set(&d, "18 V", "300 ohm");
    desk_near(across(&d, NULL), 12, 0.01, "test current");
    assert_string_equal(desk_says(&d, NULL, NULL, "D", NULL), "conducts");
    desk_clear(&d);
    set(&d, "24 V", "300 ohm");
    desk_near(across(&d, NULL), 12.11, 0.01, "slope");
    desk_clear(&d);
    set(&d, "9 V", "300 ohm");
    desk_near(across(&d, NULL), 9, 2e-3, "blocks");
    assert_string_equal(desk_says(&d, NULL, NULL, "D", NULL), "blocks");
    desk_clear(&d);
    set(&d, "24 V", "30 ohm");
    assert_string_equal(desk_says(&d, NULL, NULL, "D", NULL), "too-hot");
    desk_clear(&d);
}

/* Reversed it is a diode: 0.0478 ln(57.4 mA / 6.6 nA) + 0.05 * 57.4 mA = 0.767 V. 500 ohm across
 * it: 18 * 500 / 800 = 11.25 V, too few for it to conduct. 3.9 V: 46.5 mA, 3.9 + 4 * 0.0265 +
 * 0.0478 ln(46.5 / 20) = 4.05 V. */
static void each_fault_of_a_zener(void **state) {
    (void)state;
    desk d;
    set(&d, "18 V", "300 ohm");
    desk_near(across(&d, "D:open"), 18, 2e-3, "open");
    desk_near(across(&d, "D:short=0.1ohm"), 18 * 0.104 / 300, 1e-4, "shorted");
    desk_near(across(&d, "D:leaky=500ohm"), 11.25, 0.01, "leaky");
    desk_near(across(&d, "D:reversed"), 0.767, 0.005, "forward");
    desk_near(across(&d, "D:wrong-voltage=3.9V"), 4.05, 0.01, "another one");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_holds_its_voltage),
        cmocka_unit_test(each_fault_of_a_zener),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
