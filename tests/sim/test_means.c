/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a voltmeter shows of what pulses. A 10 V source, 30 ohm and 90 ohm in series, the lower pin
 * pulled down by a driver that is on for 2 ms of every 5 ms: by hand the divider gives 10 V over
 * 90 ohm and nothing (driver off, no current: 10 V at the driver's pin), or 10 V times 90 / 120 at
 * the middle and 0 V at the pin. A moving-coil or integrating meter shows the mean: V_on d + V_off
 * (1 - d), textbook of pulse-width modulation.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>

#include "tests/sim/asked.h"
#include "tests/sim/desk.h"

/* V: by so much at most the driver's own leakage pulls its pin down. */
static const double duty = 0.4, leak = 0.03;

static void set(desk *d) {
    desk_set(d,
             "V: {kind: source, emf: 10 V}, R1: {kind: resistor, resistance: 30 ohm}, "
             "R2: {kind: resistor, resistance: 90 ohm}, "
             "A: {kind: low-side-driver, on-resistance: 1 mohm, frequency: 200 Hz, on-time: 2 ms}",
             "W1: {from: V.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: A.out}, "
             "W4: {from: A.31, to: V.-}",
             "off: {}, steady: {A: on, from: off}, pulsing: {A: pulsing, from: off}");
}

static bp_reading ask(desk *d, const char *state, const char *red, bool means, const char *faults) {
    const bp_pair pair = {red, NULL};
    bp_question q = reading_of(state, BP_VOLTS, &pair);
    q.means = means;
    q.ranges = !faults;
    q.faults = faults;
    bp_answer *a = asked(d, &q);
    const bp_reading got = a->states[0].readings[0];
    bp_answer_free(&a);
    return got;
}

static void the_mean_of_two_levels(void **state) {
    (void)state;
    desk d;
    set(&d);
    const bp_reading pin = ask(&d, "pulsing", "A.out", true, NULL),
                     middle = ask(&d, "pulsing", "R1.2", true, NULL);
    assert_true(fabs(pin.value - 10 * (1 - duty)) < leak);
    assert_true(fabs(middle.value - (10 * (1 - duty) + 7.5 * duty)) < leak);
    assert_true(pin.low < pin.value && pin.value < pin.high);
    /* Parts may differ by a tenth of what the pulses do: 4 V here. */
    assert_true(pin.high - pin.value > 0.4);
    assert_true(pin.high - pin.value < 0.8);
    desk_clear(&d);
}

/* Not asked for means, what stands between two pulses; and a state without pulses is not run. */
static void between_pulses_and_steady(void **state) {
    (void)state;
    desk d;
    set(&d);
    assert_true(fabs(ask(&d, "pulsing", "A.out", false, NULL).value - 10) < leak);
    assert_true(fabs(ask(&d, "steady", "R1.2", true, NULL).value - 7.5) < 0.01);
    assert_true(fabs(ask(&d, "off", "R1.2", true, NULL).value - 10) < leak);
    desk_clear(&d);
}

/* A fault changes the mean as it does the levels: an open R2 leaves the pin at 0 V (nothing feeds
 * it), a driver that has no request at 10 V. */
static void faults_move_the_mean(void **state) {
    (void)state;
    desk d;
    set(&d);
    assert_true(fabs(ask(&d, "pulsing", "A.out", true, "A:no-request").value - 10) < leak);
    assert_true(fabs(ask(&d, "pulsing", "R1.2", true, "R2:open").value - 10) < leak);
    desk_clear(&d);
}

/* What stands between two pulses is on no display, so no meter holds it: with the mean at 6 V the
 * highest is still the state before, 10 V, and the lowest the mean itself. */
static void the_mean_is_held(void **state) {
    (void)state;
    desk d;
    set(&d);
    const bp_pair pair = {"A.out", NULL};
    bp_question q = reading_of("pulsing", BP_VOLTS, &pair);
    q.means = q.min_max = true;
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_string_equal(r->maximum->state, "off");
    assert_true(fabs(r->maximum->value - 10) < leak);
    assert_string_equal(r->minimum->state, "pulsing");
    assert_true(fabs(r->minimum->value - r->value) < 0.05);
    bp_answer_free(&a);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_mean_of_two_levels),
        cmocka_unit_test(between_pulses_and_steady),
        cmocka_unit_test(faults_move_the_mean),
        cmocka_unit_test(the_mean_is_held),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
