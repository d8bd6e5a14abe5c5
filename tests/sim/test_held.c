/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Minimum and maximum that a meter holds while a chain of states is gone through.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "tests/sim/asked.h"

/* 12 V behind 1 ohm; three switched loads of 5, 2 and 1 ohm, each with 14 mohm of the switch and
 * its pins: 12 * 2.014 / 3.014 = 8.02 V with the second, 12 * 1.014 / 2.014 = 6.04 V with the
 * third. */
static void set(desk *d) {
    desk_set(
        d,
        "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: 1 ohm}, "
        "S: {kind: switch, positions: {released: [], one: [[1, 2]], two: [[1, 3]], three: [[1, "
        "4]]}}, R2: {kind: resistor, resistance: 5 ohm}, R3: {kind: resistor, resistance: 2 "
        "ohm}, R4: {kind: resistor, resistance: 1 ohm}",
        "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: S.1}, W3: {from: S.2, to: R2.1}, W4: "
        "{from: S.3, to: R3.1}, W5: {from: S.4, to: R4.1}, W6: {from: R2.2, to: B.-}, W7: "
        "{from: R3.2, to: B.-}, W8: {from: R4.2, to: B.-}",
        "off: {}, weak: {S: one, from: off}, strong: {S: three, from: weak}, after: {S: two, "
        "from: strong}, beside: {S: two, from: weak}");
}

static void check(const bp_held *held, double value, const char *display, const char *state) {
    desk_near(held->value, value, 0.01, state);
    assert_string_equal(held->display, display);
    assert_string_equal(held->state, state);
    assert_null(held->phase);
}

static void the_extremes_of_the_states_gone_through(void **state) {
    (void)state;
    desk d;
    set(&d);
    const bp_pair pair = {"R.2", NULL};
    bp_question q = reading_of("after", BP_VOLTS, &pair);
    q.min_max = true;
    bp_answer *a = asked(&d, &q);
    /* Only the state that was asked for is answered, the others are gone through. */
    assert_int_equal(a->n_states, 1);
    assert_string_equal(a->states[0].state, "after");
    desk_near(a->states[0].readings[0].value, 8.02, 0.01, "divider");
    check(a->states[0].readings[0].minimum, 6.04, "6.04 V", "strong");
    check(a->states[0].readings[0].maximum, 12, "12.00 V", "off");
    bp_answer_free(&a);
    q.state = "beside"; /* is not entered through "strong" */
    a = asked(&d, &q);
    check(a->states[0].readings[0].minimum, 8.02, "8.02 V", "beside");
    bp_answer_free(&a);
    q.state = NULL;
    a = asked(&d, &q);
    assert_int_equal(a->n_states, 5);
    check(a->states[0].readings[0].minimum, 12, "12.00 V", "off");
    check(a->states[2].readings[0].minimum, 6.04, "6.04 V", "strong");
    bp_answer_free(&a);
    q.min_max = false;
    a = asked(&d, &q);
    assert_null(a->states[0].readings[0].minimum);
    assert_null(a->states[0].readings[0].maximum);
    bp_answer_free(&a);
    desk_clear(&d);
}

/* A fuse of 10 A at 16 A opens after minutes: first 12 V behind 0.5 ohm and 0.25 ohm, then 12 V;
 * both phases are held. An open switch shows OL in ohms, and that is the most there is. */
static void phases_and_what_is_off_the_display(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        "B: {kind: source, emf: 12 V}, F: {kind: fuse, rating: 10 A}, R: {kind: resistor, "
        "resistance: 0.75 ohm}, S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}",
        "W1: {from: B.+, to: F.1}, W2: {from: F.2, to: S.1}, W3: {from: S.2, to: R.1}, W4: "
        "{from: R.2, to: B.-}",
        "off: {}, on: {S: pressed, from: off}");
    const bp_pair pair = {"R.1", NULL};
    bp_question q = reading_of("on", BP_VOLTS, &pair);
    q.min_max = true;
    bp_answer *a = asked(&d, &q);
    assert_int_equal(a->n_states, 2);
    const bp_reading *before = &a->states[0].readings[0], *after = &a->states[1].readings[0];
    assert_string_equal(before->maximum->state, "on");
    assert_string_equal(before->maximum->phase, "before F opens");
    assert_string_equal(after->maximum->phase, "before F opens");
    assert_true(after->maximum->value > 11 && after->minimum->value < 0.1);
    bp_answer_free(&a);
    const bp_pair gap = {"S.1", "S.2"};
    q = reading_of("off", BP_OHMS, &gap);
    q.faults = "R:open";
    q.min_max = true;
    a = asked(&d, &q);
    assert_string_equal(a->states[0].readings[0].maximum->display, "OL");
    assert_true(isnan(a->states[0].readings[0].maximum->value));
    bp_answer_free(&a);
    desk_clear(&d);
}

/* A lamp has no memory, and an ohmmeter's is not followed through a run. */
static void what_is_not_held_is_refused(void **state) {
    (void)state;
    desk d;
    desk_set(&d, "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: 1 ohm}",
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: B.-}", "on: {}");
    const bp_pair pair = {"R.1", "R.2"};
    static const struct {
        bp_instrument instrument;
        bool peak, good;
    } rows[] = {{BP_VOLTS, true, true},
                {BP_OHMS, true, false},
                {BP_TEST_LAMP, false, false},
                {BP_VOLTS_LOADED, false, true}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bp_question q = reading_of("on", rows[i].instrument, &pair);
        q.min_max = true;
        q.peak = rows[i].peak;
        bp_answer *a = bp_lab_ask(d.lab, &q, d.report);
        assert_int_equal(a != NULL, rows[i].good);
        bp_answer_free(&a);
    }
    desk_clear(&d);
}

/* 12 V behind 100 ohm onto an empty capacitor of 1 mF: v = 12 (1 - exp(-t / 0.1 s)). A meter that
 * averages over T shows at least the mean over the first T, 12 (1 - tau/T (1 - exp(-T/tau))): 4.41
 * V of 0.1 s, 0.06 V of 1 ms. Settled, before and after, 12 V are all there is. */
static void what_a_slow_meter_holds_of_a_dip(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: 100 ohm}, "
             "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}, "
             "C: {kind: capacitor, capacitance: 1 mF}, T: {kind: resistor, resistance: 1 Mohm}",
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: S.1}, W3: {from: S.2, to: C.1}, "
             "W4: {from: C.2, to: B.-}, W5: {from: C.1, to: T.1}, W6: {from: T.2, to: B.-}",
             "off: {}, on: {S: pressed, from: off}, later: {S: pressed, from: on}}\n"
             "waveforms: {dip: {state: on, traces: [R.2], from: 0 s, to: 2 s}");
    static const double seconds[] = {0.1, 1e-3};
    const bp_pair pair = {"R.2", NULL};
    for (int k = 0; k < 4; k++) {
        const bool peak = k % 2 != 0, later = k > 1;
        const double tau = 0.1, t = seconds[peak];
        bp_question q = reading_of(later ? "later" : "on", BP_VOLTS, &pair);
        q.min_max = true;
        q.peak = peak;
        bp_answer *a = asked(&d, &q);
        const bp_reading *r = &a->states[0].readings[0];
        desk_near(r->value, 12, 0.005, "settled");
        desk_near(r->minimum->value, 12 * (1 - tau / t * (1 - exp(-t / tau))), 0.03, "R-C");
        desk_near(r->minimum->at, t, 0.1 * t, "the first stretch");
        assert_string_equal(r->minimum->state, "on");
        desk_near(r->maximum->value, 12, 0.005, "settled");
        assert_true(isnan(r->maximum->at));
        bp_answer_free(&a);
    }
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_extremes_of_the_states_gone_through),
        cmocka_unit_test(phases_and_what_is_off_the_display),
        cmocka_unit_test(what_is_not_held_is_refused),
        cmocka_unit_test(what_a_slow_meter_holds_of_a_dip),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
