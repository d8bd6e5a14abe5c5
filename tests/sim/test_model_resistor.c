/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Resistor: textbook failures, drift, temperature.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

/* T. R. Kuphaldt, Lessons in Electric Circuits, vol. I, component failure analysis: 9 V over 100,
 * 300 and 50 ohm: 2, 6, 1 V; R2 shorted 6, 0, 3 V; R2 open 0, 9, 0 V. */
static void test_failures(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 9 V}, R1: {kind: resistor, resistance: 100 ohm}, "
             "R2: {kind: resistor, resistance: 300 ohm}, R3: {kind: resistor, resistance: 50 ohm}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: R3.1}, "
             "W4: {from: R3.2, to: B.-}",
             NULL);
    static const struct {
        const char *fault;
        double r1, r2, r3;
    } table[] = {{NULL, 2, 6, 1},
                 {"R2:short", 6, 0, 3},
                 {"R2:open", 0, 9, 0},
                 {"R2:drifted=150%", 1.5, 6.75, 0.75}}; /* 450 of 600 ohm; 15 mA */
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        const char *fault = table[i].fault;
        desk_near(desk_volts(&d, NULL, fault, "R1.1", "R1.2"), table[i].r1, 1e-3, "R1");
        desk_near(desk_volts(&d, NULL, fault, "R2.1", "R2.2"), table[i].r2, 1e-3, "R2");
        desk_near(desk_volts(&d, NULL, fault, "R3.1", "R3.2"), table[i].r3, 1e-3, "R3");
    }
    desk_clear(&d);
}

/* Kuphaldt, temperature coefficient of resistance: 14 V, two 15 ohm wires with 0.004041/K, 250 ohm.
 * 20 degC: 50 mA. 35 degC: 15.909 ohm, 49.677 mA, 0.79, 12.42 and 0.79 V. */
static void test_temperature(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 14 V}, R1: {kind: resistor, resistance: 15 ohm, alpha: "
             "0.004041}, R2: {kind: resistor, resistance: 15 ohm, alpha: 0.004041}, "
             "R3: {kind: resistor, resistance: 250 ohm}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R3.1}, W3: {from: R3.2, to: R2.1}, "
             "W4: {from: R2.2, to: B.-}",
             NULL);
    desk_near(desk_volts(&d, NULL, NULL, "R3.1", "R3.2") / 250, 50e-3, 1e-5, "20 degC, current");
    d.question.ambient = 35;
    desk_near(desk_volts(&d, NULL, NULL, "R3.1", "R3.2") / 250, 49.677e-3, 5e-6,
              "35 degC, current");
    desk_near(desk_volts(&d, NULL, NULL, "R1.1", "R1.2"), 0.79, 5e-3, "35 degC, wire");
    desk_near(desk_volts(&d, NULL, NULL, "R3.1", "R3.2"), 12.42, 5e-3, "35 degC, load");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_failures),
                                       cmocka_unit_test(test_temperature)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
