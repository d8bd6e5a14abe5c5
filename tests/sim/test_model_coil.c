/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A winding of 6 ohm on 12 V behind a shunt of 10 mohm: 12 / (6 + 0.010 + 2 * 0.002) = 1.995 A.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS                                                                                      \
    "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 10 mohm}, "                    \
    "L: {kind: coil, resistance: 6 ohm}"
#define WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: L.1}, W3: {from: L.2, to: B.-}"

static double amps(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "R1.1", "R1.2") / 0.010;
}

static void current_follows_ohm_and_copper(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(amps(&d, NULL), 1.9953, 1e-3, "Ohm");
    assert_string_equal(desk_says(&d, NULL, NULL, "L", NULL), "normal");
    d.question.ambient = 70; /* 6 * (1 + 0.00393 * 50) = 7.179 ohm */
    desk_near(amps(&d, NULL), 12 / 7.193, 1e-3, "copper 0.00393/K");
    desk_clear(&d);
}

static void each_fault_has_its_current(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(amps(&d, "L:open"), 0, 1e-4, "open");
    assert_string_equal(desk_says(&d, NULL, "L:open", "L", NULL), "off");
    desk_near(amps(&d, "L:shorted-turns=50%"), 12 / 3.014, 2e-3, "half the turns");
    assert_string_equal(desk_says(&d, NULL, "L:shorted-turns=50%", "L", NULL), "high");
    desk_near(amps(&d, "L:resistance=50ohm"), 12 / 56.014, 1e-4, "in series");
    assert_string_equal(desk_says(&d, NULL, "L:resistance=50ohm", "L", NULL), "weak");
    /* Leak of 1 ohm at the middle: 3 + 1 // 3.002 = 3.7501 ohm, and 0.012. */
    desk_near(amps(&d, "L:ground-leak=1ohm"), 12 / 3.7621, 2e-3, "leak at the middle");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(current_follows_ohm_and_copper),
        cmocka_unit_test(each_fault_has_its_current),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
