/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Terminators at both ends of a bus, with the supply off: ISO 11898-2 wants 120 ohm at either end,
 * which an ohmmeter across the bus finds as 60 ohm, and as 120 with one end gone.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/asked.h"

static void check(desk *d, const char *fault, double ohm, double within) {
    const bp_pair pair = {"T1.H", "T1.L"};
    bp_question q = reading_of("on", BP_OHMS, &pair);
    q.faults = fault;
    bp_answer *a = asked(d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_int_equal(r->status, BP_READING_OK);
    desk_near(r->value, ohm, within, fault ? fault : "healthy");
    bp_answer_free(&a);
}

static void an_ohmmeter_finds_both_ends(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, T1: {kind: bus-terminator}, "
             "T2: {kind: bus-terminator}, R: {kind: resistor, resistance: 1 kohm}",
             "W1: {from: T1.H, to: T2.H}, W2: {from: T1.L, to: T2.L}, W3: {from: T1.L, to: B.-}, "
             "W4: {from: B.+, to: R.1}, W5: {from: R.2, to: B.-}",
             NULL);
    check(&d, NULL, 60, 0.5);
    check(&d, "T2:open", 120, 0.5);
    check(&d, "T1:open", 120, 0.5);
    check(&d, "W1:open", 120, 0.5);
    check(&d, "T2:short", 0, 0.5);
    check(&d, "T2:drifted=300%", 90, 0.5); /* 120 beside 360 ohm */
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_ohmmeter_finds_both_ends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
