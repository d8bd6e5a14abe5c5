/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Source: textbook cells, and its failures worked by hand.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

/* OpenStax, University Physics vol. 2, ch. 10: 12.00 V behind 0.100 ohm. 10.00 ohm: 1.188 A, 11.9 V
 * (12 * 10 / 10.1 = 11.881). */
static void test_faults(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V, resistance: 0.1 ohm}, "
             "R: {kind: resistor, resistance: 10 ohm}",
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: B.-}", NULL);
    desk_near(desk_volts(&d, NULL, NULL, "R.1", "R.2") / 10, 1.188, 5e-4, "OpenStax, current");
    desk_near(desk_volts(&d, NULL, NULL, "B.+", "B.-"), 11.8812, 1e-3, "OpenStax, terminals");
    desk_near(desk_volts(&d, NULL, "B:open", "B.+", "B.-"), 0, 1e-3, "open");
    /* 0.7 of 12 V: 8.4 * 10 / 10.1 */
    desk_near(desk_volts(&d, NULL, "B:low=70%", "B.+", "B.-"), 8.3168, 1e-3, "low");
    /* 12 * 10 / 11.1 */
    desk_near(desk_volts(&d, NULL, "B:resistance=1ohm", "B.+", "B.-"), 10.8108, 1e-3, "1 ohm more");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_faults)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
