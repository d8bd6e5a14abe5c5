/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Horns: 5 A at 13 V are 2.6 ohm while sounding; the winding alone has 0.4 of it, 1.04 ohm. Two
 * pins have 4 mohm.
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
             "B: {kind: source, emf: %s}, R: {kind: resistor, resistance: %s}, H: {kind: horn}",
             emf, ohm);
    desk_set(d, parts,
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: H.1}, W3: {from: H.2, to: B.-}", NULL);
}

static void says(const char *emf, const char *ohm, const char *id, double volts) {
    desk d;
    double value;
    set(&d, emf, ohm);
    assert_string_equal(desk_says(&d, NULL, NULL, "H", &value), id);
    desk_near(value, volts, 0.02, ohm);
    desk_clear(&d);
}

/* Swinging or not decides what the winding takes. Behind 1 ohm it starts, 13 * 1.04 / 2.044 = 6.6
 * V, and has 13 * 2.6 / 3.604 = 9.38 V then. Behind 2.6 ohm its contact never opens: 13 * 1.04
 * / 3.644 = 3.71 V, and 3.57 A all the same. */
static void low_voltage_makes_it_croak_and_then_silent(void **state) {
    (void)state;
    says("13 V", "1 uohm", "normal", 13 * 2.6 / 2.604);
    says("8 V", "1 uohm", "croaks", 8 * 2.6 / 2.604);
    says("5 V", "1 uohm", "off", 5 * 1.04 / 1.044);
    says("13 V", "1 ohm", "normal", 9.38);
    says("11 V", "0.8 ohm", "croaks", 11 * 2.6 / 3.404);
    says("13 V", "2.6 ohm", "off", 3.71);
}

static double amps(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "R.1", "R.2") / 0.01;
}

/* Behind 10 mohm: 13 / 2.614 = 4.97 A sounding. */
static void each_fault_of_a_horn(void **state) {
    (void)state;
    desk d;
    set(&d, "13 V", "10 mohm");
    desk_near(amps(&d, NULL), 4.97, 0.02, "mean current");
    desk_near(amps(&d, "H:open"), 0, 1e-3, "open");
    assert_string_equal(desk_says(&d, NULL, "H:open", "H", NULL), "off");
    /* 13 / (1.04 + 2.5 + 0.014) = 3.66 A: 3.8 V are left for the mechanism. */
    desk_near(amps(&d, "H:resistance=2.5ohm"), 3.66, 0.02, "burnt contact");
    assert_string_equal(desk_says(&d, NULL, "H:resistance=2.5ohm", "H", NULL), "off");
    /* Silent with more current than it takes sounding: 13 / 1.054. */
    desk_near(amps(&d, "H:seized"), 12.33, 0.03, "contact closed");
    assert_string_equal(desk_says(&d, NULL, "H:seized", "H", NULL), "off");
    assert_string_equal(desk_says(&d, NULL, "H:out-of-tune=16V", "H", NULL), "croaks");
    /* Its second half beside 5 ohm: 13 / (0.012 + 1.3 + 1 / (1 / 5 + 1 / 1.302)) = 5.54 A. */
    desk_near(amps(&d, "H:ground-leak=5ohm"), 5.54, 0.03, "leak from the middle");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(low_voltage_makes_it_croak_and_then_silent),
        cmocka_unit_test(each_fault_of_a_horn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
