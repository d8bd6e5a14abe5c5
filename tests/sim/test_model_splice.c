/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Splice: 12 V over 100 ohm to a splice, 100 ohm on to ground: 6 V. Wet by 500 ohm, which stands
 * beside the lower 100 ohm: 83.333 ohm, 12 * 83.333 / 183.333 = 5.4545 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

static void test_leak(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 100 ohm}, "
             "R2: {kind: resistor, resistance: 100 ohm}, X: {kind: splice}, G: {kind: ground}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: X}, W3: {from: X, to: R2.1}, "
             "W4: {from: R2.2, to: B.-}, W5: {from: B.-, to: G}",
             NULL);
    desk_near(desk_volts(&d, NULL, NULL, "X", NULL), 6, 1e-3, "healthy");
    desk_near(desk_volts(&d, NULL, "X:leak-to-ground=500ohm", "X", NULL), 5.4545, 1e-3, "wet");
    /* What a bad crimp does to one wire is that wire's fault: 12 * 100 / 300 = 4 V. */
    desk_near(desk_volts(&d, NULL, "W2:resistance=100ohm", "X", NULL), 4, 1e-3, "its feed wire");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_leak)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
