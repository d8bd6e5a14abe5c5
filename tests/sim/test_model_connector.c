/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Connectors: one circuit worked by hand, healthy and under each failure of a pin.
 *
 * 12 V ideal; C.1 feeds R1 (2 ohm), C.2 feeds R2 (2 ohm) through an open switch on the feed side.
 * Contacts 2 mohm each, all wires ideal.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

static void set(desk *d) {
    desk_set(d,
             "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 2 ohm}, "
             "R2: {kind: resistor, resistance: 2 ohm}, "
             "C: {kind: connector, cavities: 2, resistance: 2 mohm}, "
             "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}",
             "W1: {from: B.+, to: C.a1}, W2: {from: C.b1, to: R1.1}, W3: {from: B.+, to: S.1}, "
             "W4: {from: S.2, to: C.a2}, W5: {from: C.b2, to: R2.1}, W6: {from: R1.2, to: B.-}, "
             "W7: {from: R2.2, to: B.-}",
             "released: {}, hot: {engine: 100 degC}");
}

/* What R1 and R2 get. */
static void check(desk *d, const char *fault, double r1, double r2) {
    desk_near(desk_volts(d, "released", fault, "R1.1", NULL), r1, 1e-3, fault ? fault : "healthy");
    desk_near(desk_volts(d, "released", fault, "R2.1", NULL), r2, 1e-3, fault ? fault : "healthy");
}

static void test_faults(void **state) {
    (void)state;
    desk d;
    set(&d);
    check(&d, NULL, 11.9880, 0); /* 12 * 2 / 2.002 */
    check(&d, "C.1:open", 0, 0);
    check(&d, "C.2:open", 11.9880, 0);
    check(&d, "C.1:resistance=1ohm", 7.9947, 0);           /* 12 * 2 / 3.002 */
    check(&d, "C.1:bridge-to=2,50mohm", 11.9880, 11.6959); /* 12 * 2 / 2.052 */
    check(&d, "C.2:bridge-to=1,50mohm", 11.9880, 11.6959);
    check(&d, "C.1:leak-to=2,2kohm", 11.9880, 0.0120); /* 12 * 2 / 2002.002 */
    check(&d, "C.1:crossed-with=2", 0, 11.9880);
    desk_clear(&d);
}

/* A spread terminal holds while it is cold: 12 * 2 / (2.002 + 20) = 1.0908 beside a hot engine. */
static void test_spread(void **state) {
    (void)state;
    desk d;
    set(&d);
    const char *fault = "C.1:spread,20ohm@engine>80degC";
    desk_near(desk_volts(&d, "released", fault, "R1.1", NULL), 11.9880, 1e-3, "cold");
    desk_near(desk_volts(&d, "hot", fault, "R1.1", NULL), 1.0908, 1e-3, "hot");
    desk_clear(&d);
}

/* Unplugged, nothing gets through, not even water or a bent terminal. */
static void test_unplugged(void **state) {
    (void)state;
    desk d;
    set(&d);
    static const char *const unplug[] = {"unplug C"};
    d.question.after = unplug;
    d.question.n_after = 1;
    desk_near(desk_volts(&d, "released", NULL, "C.a1", NULL), 12, 1e-3, "fed half");
    desk_near(desk_volts(&d, "released", NULL, "R1.1", NULL), 0, 1e-3, "the load is dead");
    desk_near(desk_volts(&d, "released", "C.1:bridge-to=2,50mohm", "R2.1", NULL), 0, 1e-3,
              "no bridge without its other half");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_faults), cmocka_unit_test(test_spread),
                                       cmocka_unit_test(test_unplugged)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
