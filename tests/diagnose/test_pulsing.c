/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings in a state in which something pulses. 12 V over 30 ohm and 90 ohm, the lower pin pulled
 * down by a driver that is on for 2 ms of every 5 ms: a voltmeter shows 12 V (1 - 0.4) = 7.2 V at
 * the pin and 12 V - 0.4 * 3 V = 10.8 V between the two (mean of two levels, textbook of
 * pulse-width modulation). With no request to the driver both stand at 12 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdlib.h>

#include "diagnose/candidates.h"
#include "tests/diagnose/bench_circuit.h"

static const char pulsed[] =
    "backprobe: 1\n"
    "id: pulsed\n"
    "title: Pulsed\n"
    "scenario: A bench source, two resistors and a driver\n"
    "parts:\n"
    "  V1: {kind: source, emf: 12 V}\n"
    "  R1: {kind: resistor, resistance: 30 ohm}\n"
    "  R2: {kind: resistor, resistance: 90 ohm}\n"
    "  A1: {kind: low-side-driver, on-resistance: 10 mohm, frequency: 200 Hz, on-time: 2 ms}\n"
    "wires:\n"
    "  W1: {from: V1.+, to: R1.1}\n"
    "  W2: {from: R1.2, to: R2.1}\n"
    "  W3: {from: R2.2, to: A1.out}\n"
    "  W4: {from: A1.31, to: V1.-}\n"
    "states:\n"
    "  idle: {}\n"
    "  held: {A1: on, from: idle}\n"
    "  half: {A1: pulsing, from: idle}\n"
    "points:\n"
    "  A: {at: V1.+}\n"
    "  B: {at: R2.1}\n"
    "  C: {at: A1.out}\n";

static bp_evidence reading(bench *b, const char *state, const char *red, double value) {
    return bench_volts(b, state, red, NULL, value, BP_PRESENT_YES);
}

/* What each row makes of the pin is the mean, and what each says of the source is the core's. */
static void means_by_hand(void **state) {
    bench *b = *state;
    const bp_evidence a = reading(b, "half", "A", 12), middle = reading(b, "half", "B", 10.8),
                      pin = reading(b, "half", "C", 7.2), on = reading(b, "held", "C", 0);
    assert_true(bp_atlas_stands_still(b->atlas, a.test));
    assert_false(bp_atlas_stands_still(b->atlas, middle.test));
    assert_false(bp_atlas_stands_still(b->atlas, pin.test));
    assert_true(bp_atlas_stands_still(b->atlas, on.test));
    assert_true(fabs(bp_atlas_cell(b->atlas, 0, a.test).value - 12) < 0.01);
    assert_true(fabs(bp_atlas_cell(b->atlas, 0, middle.test).value - 10.8) < 0.05);
    assert_true(fabs(bp_atlas_cell(b->atlas, 0, pin.test).value - 7.2) < 0.1);
    size_t n = 0;
    const size_t row = bp_atlas_first_row(b->atlas, bench_fault(b, "A1:no-request"), &n);
    assert_true(fabs(bp_atlas_cell(b->atlas, row, pin.test).value - 12) < 0.02);
}

static double of_fault(bench *b, const bp_posterior *p, const char *fault) {
    return bp_posterior_fault(p, bench_fault(b, fault));
}

/* The mean is what a good circuit shows; what stands between two pulses, all the time, is not. */
static void means_are_judged(void **state) {
    bench *b = *state;
    const bp_evidence source = reading(b, "idle", "A", 12);
    const bp_evidence good[] = {source, reading(b, "half", "C", 7.2)};
    const bp_evidence stuck[] = {source, reading(b, "half", "C", 12.0)};
    bp_posterior *p = bench_after(b, good, 2), *q = bench_after(b, stuck, 2);
    assert_true(bp_posterior_other(p) < 0.1);
    assert_true(bp_posterior_healthy(p) > 5 * bp_posterior_healthy(q));
    assert_true(of_fault(b, q, "A1:no-request") > 5 * of_fault(b, p, "A1:no-request"));
    assert_true(of_fault(b, q, "A1:no-request") > 0.1);
    bp_posterior_free(&p);
    bp_posterior_free(&q);
}

static size_t offered_in(bench *b, const size_t *test, size_t n, const char *state, bool *moving) {
    size_t count = 0;
    for (size_t i = 0; i < n; i++) {
        const bp_test *t = bp_atlas_test(b->atlas, test[i]);
        count += t->state == bp_state_find(b->circuit, state);
        *moving = *moving || !bp_atlas_stands_still(b->atlas, test[i]);
    }
    return count;
}

/* Where pulses show nothing is offered, with all tools and all that takes solutions of its own. */
static void nothing_moving_is_offered(void **state) {
    bench *b = *state;
    const bp_evidence source = reading(b, "idle", "A", 12);
    bp_posterior *p = bench_after(b, &source, 1);
    size_t *test = NULL, n = 0;
    const size_t row = 1;
    assert_int_equal(bp_candidates(b->atlas, p, ~0u, &row, 1, &test, &n, b->report), BP_OK);
    bool moving = false;
    assert_true(offered_in(b, test, n, "half", &moving) >= 1); /* the source */
    assert_true(offered_in(b, test, n, "held", &moving) >= 3);
    assert_false(moving);
    free(test);
    bp_posterior_free(&p);
}

static int open_bench(void **state) {
    static bench b;
    bench_open(&b, pulsed, NULL);
    *state = &b;
    return 0;
}

static int close_bench(void **state) {
    bench_close(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(means_by_hand),
        cmocka_unit_test(means_are_judged),
        cmocka_unit_test(nothing_moving_is_offered),
    };
    return cmocka_run_group_tests(tests, open_bench, close_bench);
}
