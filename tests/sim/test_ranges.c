/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Good ranges against the closed form of a divider.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>

#include "tests/sim/asked.h"

/* 12 V, R1 1 kohm +-5 %, R2 2 kohm +-2 %: V = 12 R2 / (R1 + R2). Up: R1 smaller, R2 larger; down
 * the other way round, each by itself; their squares add, and those of the meter (0.5 % + 2 counts
 * of 10 mV). */
static void a_dividers_range_is_its_closed_form(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 1 kohm, tolerance: 5 %}, "
        "R2: {kind: resistor, resistance: 2 kohm, tolerance: 2 %}",
        "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B.-}", NULL);
    const bp_pair pairs[] = {{"R2.1", NULL}, {"B.+", NULL}, {"B.-", NULL}, {"R1.1", NULL}};
    bp_question q = reading_of("on", BP_VOLTS, pairs);
    q.n_pairs = 4;
    q.ranges = true;
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = a->states[0].readings;
    const double v = 12 * 2000.0 / 3000, meter = 0.005 * v + 0.02;
    const double up = hypot(hypot(12 * 2000 / 2950.0 - v, 12 * 2040 / 3040.0 - v), meter);
    const double down = hypot(hypot(v - 12 * 2000 / 3050.0, v - 12 * 1960 / 2960.0), meter);
    desk_near(r[0].low, v - down, 2e-3, "closed form");
    desk_near(r[0].high, v + up, 2e-3, "closed form");
    assert_true(up > down + 1e-4); /* the two sides differ, and both are right */
    /* An ideal source has no spread: only the meter's own part is left. */
    desk_near(r[1].high - r[1].value, 0.005 * 12 + 0.02, 1e-4, "meter alone");
    desk_near(r[1].value - r[1].low, 0.005 * 12 + 0.02, 1e-4, "meter alone");
    /* At 0 V the meter still has its two counts of 1 mV. */
    desk_near(r[2].value, 0, 1e-9, "reference");
    desk_near(r[2].high, 0.002, 1e-9, "two counts");
    desk_near(r[2].low, -0.002, 1e-9, "two counts");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* A part that is as exact as its file says spreads nothing. */
static void stated_tolerance_rules(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 1 kohm, tolerance: 0 %}, "
        "R2: {kind: resistor, resistance: 2 kohm, tolerance: 0 %}",
        "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B.-}", NULL);
    const bp_pair pair = {"R2.1", NULL};
    bp_question q = reading_of("on", BP_VOLTS, &pair);
    q.ranges = true;
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    desk_near(r->high - r->value, 0.005 * 8 + 0.02, 1e-4, "meter alone");
    bp_answer_free(&a);
    /* Without being asked for there is none. */
    q.ranges = false;
    a = asked(&d, &q);
    assert_true(isnan(a->states[0].readings[0].low) && isnan(a->states[0].readings[0].high));
    bp_answer_free(&a);
    desk_clear(&d);
}

/* One plug terminal (2 mohm, within a factor of 2.5) in 12 A: its millivolts spread by that factor
 * up and down. */
static void contacts_spread_too(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, F: {kind: fuse, rating: 20 A, resistance: 0.1 mohm}, "
             "R: {kind: resistor, resistance: 1 ohm, tolerance: 0 %}",
             "W1: {from: B.+, to: F.1}, W2: {from: F.2, to: R.1}, W3: {from: R.2, to: B.-}", NULL);
    const bp_pair pair = {"F.1", "F/1"};
    bp_question q = reading_of("on", BP_MILLIVOLTS, &pair);
    q.ranges = true;
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    /* Both terminals of the fuse move together. */
    const double v = 12 / (1.0001 + 2 * 2e-3) * 2e-3, meter = 0.005 * v + 2e-4;
    const double up = 12 / (1.0001 + 2 * 5e-3) * 5e-3 - v;
    const double down = v - 12 / (1.0001 + 2 * 0.8e-3) * 0.8e-3;
    desk_near(r->value, v, 1e-5, "2 mohm");
    desk_near(r->high, v + hypot(up, meter), 2e-5, "2.5 times");
    desk_near(r->low, v - hypot(down, meter), 2e-5, "divided by 2.5");
    bp_answer_free(&a);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dividers_range_is_its_closed_form),
        cmocka_unit_test(stated_tolerance_rules),
        cmocka_unit_test(contacts_spread_too),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
