/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fusible links: the melting currents of handbooks, the equation of Onderdonk, and the resistance
 * of copper.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>

#include "tests/sim/desk.h"

static void set(desk *d, const char *size) {
    char parts[200];
    snprintf(parts, sizeof parts,
             "B: {kind: source, emf: 12 V}, L: {kind: fusible-link, size: %s}, "
             "R: {kind: resistor, resistance: 1.2 ohm}",
             size);
    desk_set(d, parts,
             "W1: {from: B.+, to: L.1}, W2: {from: L.2, to: R.1}, W3: {from: R.2, to: B.-}", NULL);
}

/* Melting currents of copper wires in air, as wire tables of handbooks print them by Preece's law
 * (from memory). */
static void it_melts_at_the_handbooks_current(void **state) {
    (void)state;
    static const struct {
        const char *size;
        double amps;
    } table[] = {
        {"20 AWG", 58.4}, {"18 AWG", 82.9}, {"16 AWG", 117}, {"14 AWG", 166}, {"10 AWG", 333}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        desk d;
        set(&d, table[i].size);
        assert_false(desk_next_at(&d, "L", 0.99 * table[i].amps, NAN).moves);
        assert_true(desk_next_at(&d, "L", 1.01 * table[i].amps, NAN).moves);
        desk_clear(&d);
    }
}

/* Onderdonk: 0.5 mm2 are 987 circular mils; 1000 A through them melt copper of 20 degC after
 * log10(1 + 1063 / 254) / 33 * 0.987^2 = 0.0211 s. Near the melting current it takes far longer
 * than without loss of heat: at 60 A, 1.05 times, the equation alone says 5.9 s. */
static void a_dead_short_melts_it_by_onderdonk(void **state) {
    (void)state;
    desk d;
    set(&d, "0.5 mm2");
    desk_near(desk_next_at(&d, "L", 1000, NAN).seconds, 0.0211, 2e-4, "Onderdonk");
    assert_true(desk_next_at(&d, "L", 60, NAN).seconds > 2 * 5.9);
    desk_clear(&d);
}

/* 0.2 m of 0.5 mm2 are 1.7241e-8 * 0.2 / 0.5e-6 = 6.90 mohm; two bolted ends add 0.6 mohm:
 * 12 / 1.2075 = 9.938 A. Corroded, 0.3 ohm: 12 * 1.2 / 1.5075 = 9.552 V are left. 0.1 mm2 in its
 * place melt at 80 * (0.4 / pi)^0.75 = 17.1 A and stand 0.35 of them, 6 A. */
static void each_fault_of_a_link(void **state) {
    (void)state;
    desk d;
    set(&d, "0.5 mm2");
    desk_near(desk_volts(&d, NULL, NULL, "L/1", "L/2"), 9.938 * 6.896e-3, 1e-4, "copper");
    assert_string_equal(desk_says(&d, NULL, NULL, "L", NULL), "holds");
    desk_near(desk_volts(&d, NULL, "L:melted", "L.1", NULL), 12, 1e-3, "melted, feed side");
    desk_near(desk_volts(&d, NULL, "L:melted", "L.2", NULL), 0, 1e-3, "melted, load side");
    assert_string_equal(desk_says(&d, NULL, "L:melted", "L", NULL), "melted");
    desk_near(desk_volts(&d, NULL, "L:resistance=0.3ohm", "R.1", NULL), 9.552, 2e-3, "corroded");
    assert_string_equal(desk_says(&d, NULL, "L:wrong-size=0.2mm2", "L", NULL), "holds");
    assert_string_equal(desk_says(&d, NULL, "L:wrong-size=0.2mm2+R:drifted=60%", "L", NULL),
                        "overloaded");
    desk_clear(&d);
}

/* The load shorted: 12 V over 6.9 + 0.6 + 1 mohm. */
static void a_short_behind_it_melts_it(void **state) {
    (void)state;
    desk d;
    set(&d, "0.5 mm2");
    assert_true(desk_blown(&d, NULL, "R:short", "L"));
    assert_string_equal(desk_says(&d, NULL, "R:short", "L", NULL), "melted");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_melts_at_the_handbooks_current),
        cmocka_unit_test(a_dead_short_melts_it_by_onderdonk),
        cmocka_unit_test(each_fault_of_a_link),
        cmocka_unit_test(a_short_behind_it_melts_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
