/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A throttle sensor of 5 kohm on 5 V: 10 % at rest, 90 % when wide open (common practice: 0.5
 * and 4.5 V). The meter of 10 Mohm takes less than 1 mV.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

static void set(desk *d) {
    desk_set(d, "B: {kind: source, emf: 5 V}, P: {kind: potentiometer}, J: {kind: splice}",
             "W1: {from: B.+, to: P.1}, W2: {from: P.3, to: B.-}, W3: {from: P.2, to: J}",
             "rest: {}, quarter: {P: quarter}, half: {P: half}, wide: {P: full}");
}

static void check(desk *d, const char *state, const char *fault, double volts) {
    desk_near(desk_volts(d, state, fault, "P.2", NULL), volts, 2e-3, fault ? fault : state);
}

static void the_wiper_takes_its_share(void **state) {
    (void)state;
    desk d;
    set(&d);
    check(&d, "rest", NULL, 0.5);
    check(&d, "quarter", NULL, 1.5);
    check(&d, "half", NULL, 2.5);
    check(&d, "wide", NULL, 4.5);
    desk_clear(&d);
}

/* An end open takes the wiper to the other one. */
static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    set(&d);
    check(&d, "half", "P.1:open", 0);
    check(&d, "half", "P.3:open", 5);
    check(&d, "half", "P:wiper-open", 0);
    /* 2.5 V behind 1 Mohm and 1.25 kohm of track, read by 10 Mohm. */
    check(&d, "half", "P:wiper-resistance=1Mohm", 2.5 * 10e6 / 11.00125e6);
    check(&d, "rest", "P:dead-spot", 0);
    check(&d, "quarter", "P:dead-spot", 1.5);
    check(&d, "rest", "P:track-open", 0);
    check(&d, "wide", "P:track-open", 5);
    check(&d, "rest", "P:shifted=20%", 5 * (0.1 + 0.2 * 0.8));
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_wiper_takes_its_share),
        cmocka_unit_test(each_fault_has_its_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
