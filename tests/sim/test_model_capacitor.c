/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A capacitor behind 1 kohm on 12 V; the meter's 10 Mohm take 1.2 mV.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

static void steady_readings_see_its_insulation_only(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: 1 kohm}, "
             "C: {kind: capacitor, capacitance: 2.2 uF}",
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: C.1}, W3: {from: C.2, to: B.-}", NULL);
    desk_near(desk_volts(&d, NULL, NULL, "C.1", "C.2"), 12, 2e-3, "no steady current");
    /* Invisible in steady state: a capacitor that is not there passes no steady current either. */
    desk_near(desk_volts(&d, NULL, "C:open", "C.1", "C.2"), 12, 2e-3, "open");
    desk_near(desk_volts(&d, NULL, "C:leaky=1kohm", "C.1", "C.2"), 6, 2e-3, "half");
    desk_near(desk_volts(&d, NULL, "C:short=0.1ohm", "C.1", "C.2"), 12e-3 * 0.104, 1e-4, "short");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steady_readings_see_its_insulation_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
