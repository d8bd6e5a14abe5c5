/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What turns and pulses: crank and Hall sensors, a wiper that parks, a starter, outputs that pulse,
 * against closed forms, common practice, and themselves at half the steps.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include <backprobe/load.h>

#include "tests/sim/waves.h"

static const double pi = 3.14159265358979323846;

static void open_library(desk *d, const char *id) {
    *d = (desk){.question = BP_QUESTION_INIT, .report = bp_report_new()};
    assert_int_equal(bp_load(id, &d->circuit, d->report), BP_OK);
    d->lab = bp_lab_new(d->circuit, 1, d->report);
    assert_non_null(d->lab);
}

/* A sensor into a resistor, on an engine at 1000 and 2000 rev/min. */
#define SENSOR(more, ohm)                                                                          \
    "V: {kind: source, emf: 12 V}, B: {kind: reluctance-sensor, resistance: 800 ohm, inductance: " \
    "0.4 H, teeth: 24, output: 1 V, pitch: 12 mm, place: cabin" more                               \
    "}, R: {kind: resistor, resistance: " ohm "}, Q: {kind: resistor, resistance: 1 kohm}"
#define SENSOR_WIRES                                                                               \
    "W1: {from: B.1, to: R.1}, W2: {from: B.2, to: V.-}, W3: {from: R.2, to: V.-}, "               \
    "W4: {from: V.+, to: Q.1}, W5: {from: Q.2, to: V.-}"
#define SENSOR_STATES "slow: {speed: 1000 rpm}, fast: {speed: 2000 rpm}"

static double peak(desk *d, const char *state, const char *faults, double *hertz) {
    static const char *const traces[] = {"R.1", NULL};
    bp_scope_run *run = waves_run(d, state, faults, 0.05, 0.1, 1, traces);
    const double got = waves_feature(run, 0, "peak-to-peak") / 2;
    if (hertz)
        *hertz = waves_feature(run, 0, "frequency");
    bp_scope_run_free(&run);
    return got;
}

/* 24 teeth at 2000 rev/min pass 24 * 2000 / 60 = 800 times a second (common practice, arithmetic);
 * without a load the amplitude is as the speed (Faraday's law), 1 V at 100 teeth a second. */
static void frequency_and_amplitude_follow_speed(void **state) {
    (void)state;
    desk d;
    double hertz;
    desk_set(&d, SENSOR("", "100 Mohm"), SENSOR_WIRES, SENSOR_STATES);
    desk_near(peak(&d, "fast", NULL, &hertz), 8, 0.08, "8 V at 800 teeth a second");
    desk_near(hertz, 800, 1, "24 * 2000 / 60");
    desk_near(peak(&d, "slow", NULL, &hertz), 4, 0.04, "half the speed, half the voltage");
    desk_near(hertz, 400, 1, "24 * 1000 / 60");
    desk_clear(&d);
}

/* Loaded by 10 kohm the coil's copper and inductance take their part: E R / |R + r + jwL|. */
static void a_load_meets_copper_and_inductance(void **state) {
    (void)state;
    desk d;
    desk_set(&d, SENSOR("", "10 kohm"), SENSOR_WIRES, SENSOR_STATES);
    const double reactance = 2 * pi * 800 * 0.4, ohm = 10e3 + 800 + 1;
    const double want = 8 * 10e3 / hypot(ohm, reactance);
    desk_near(peak(&d, "fast", NULL, NULL), want, 0.015 * want, "E R / |R + r + jwL|");
    desk_clear(&d);
}

/* The field's first harmonic falls as exp(-2 pi g / pitch) (Laplace's equation). */
static void the_gap_decides(void **state) {
    (void)state;
    desk d;
    desk_set(&d, SENSOR("", "100 Mohm"), SENSOR_WIRES, SENSOR_STATES);
    const double good = peak(&d, "fast", NULL, NULL);
    desk_near(peak(&d, "fast", "B:gap-wide=2mm", NULL) / good, exp(-2 * pi * 2 / 12), 0.005,
              "2 mm more on a pitch of 12 mm");
    desk_near(peak(&d, "fast", "B:gap-narrow=0.5mm", NULL) / good, exp(2 * pi * 0.5 / 12), 0.015,
              "half a millimetre less");
    desk_near(peak(&d, "fast", "B:shorted-turns=40%", NULL) / good, 0.6, 0.006,
              "turns that are left");
    desk_clear(&d);
}

static double reading(desk *d, const char *state, const char *faults, bp_instrument instrument,
                      const char *red, const char *black) {
    d->question.instrument = instrument;
    const double got = desk_volts(d, state, faults, red, black);
    d->question.instrument = BP_VOLTS;
    return got;
}

static void says_over_time(desk *d, const char *state, const char *faults, double to,
                           const char *part, const char *want) {
    static const char *const traces[] = {"BAT/+", NULL};
    bp_scope_run *run = waves_run(d, state, faults, 0, to, 1, traces);
    if (strcmp(waves_says(run, part), want) != 0)
        fail_msg("%s with %s says \"%s\", not \"%s\"", part, faults ? faults : "nothing",
                 waves_says(run, part), want);
    bp_scope_run_free(&run);
}

/* An engine whose crank sensor gives about 480 mV AC while cranking starts; at about 200 mV, its
 * gap wide, it does not: common practice. The AC voltmeter reads true RMS. */
static void an_engine_starts_at_480_mV_and_not_at_200(void **state) {
    (void)state;
    desk d;
    open_library(&d, "crank-sensor");
    desk_near(reading(&d, "cranking", NULL, BP_VOLTS_AC, "E", "F"), 0.48, 0.03, "about 480 mV");
    says_over_time(&d, "cranking", NULL, 0.7, "A1", "counts");
    desk_near(reading(&d, "cranking", "B1:gap-wide", BP_VOLTS_AC, "E", "F"), 0.2, 0.02,
              "about 200 mV");
    says_over_time(&d, "cranking", "B1:gap-wide", 0.7, "A1", "no-signal");
    /* 35 of 36 places at 200 rev/min. */
    desk_near(reading(&d, "cranking", NULL, BP_HERTZ, "E", "F"), 35 * 200.0 / 60, 1, "35 teeth");
    says_over_time(&d, "cranking", "B1:tooth-damaged", 0.7, "A1", "out-of-step");
    says_over_time(&d, "cranking", "C4.1:open", 0.7, "A1", "no-signal");
    desk_clear(&d);
}

/* Low for 40 % of a pitch; four teeth at half the crankshaft's speed. A gap so wide that the field
 * no longer reaches what the sensor needs ends it: with exp(-2 pi g / pitch) and low for 40 %,
 * (1 + cos(0.4 pi)) / 2 = 0.6545 of the field, so at g = -12 mm ln 0.6545 / (2 pi) = 0.81 mm. */
static void a_hall_sensor_switches(void **state) {
    (void)state;
    desk d;
    open_library(&d, "hall-sensor");
    desk_near(reading(&d, "cranking", NULL, BP_DUTY, "E", NULL), 0.6, 0.005, "high for 60 %");
    desk_near(reading(&d, "idle", NULL, BP_HERTZ, "E", NULL), 4 * 0.5 * 800 / 60, 0.1,
              "4 teeth, half speed");
    desk_near(desk_volts(&d, "at-gap", NULL, "E", NULL), 5, 0.1, "pulled up by the module");
    desk_near(desk_volts(&d, "at-tooth", NULL, "E", NULL), 0, 0.4, "pulled down by the sensor");
    says_over_time(&d, "cranking", NULL, 2, "A2", "counts");
    says_over_time(&d, "cranking", "B1:gap-wide=0.75mm", 2, "A2", "counts");
    says_over_time(&d, "cranking", "B1:gap-wide=0.87mm", 2, "A2", "no-signal");
    /* The other sensor takes the reference of both. */
    says_over_time(&d, "cranking", "B2:feed-shorted", 2, "A2", "no-signal");
    desk_clear(&d);
}

/* A road wheel counts its own turns, a tenth of the crankshaft's here: 900 rev/min in gear are 90
 * of the wheel. Nothing of a sine is called high; the Hall sensor's pulses are, for 60 % of the
 * time. A camshaft that turns once in 1.2 s shows nothing in half a second, which is no fault. */
static void a_wheel_counts_its_own_turns(void **state) {
    (void)state;
    static const char *const traces[] = {"C4.a1 C4.a2", NULL}, *const hall[] = {"C4.a2", NULL};
    desk d;
    open_library(&d, "wheel-sensors");
    bp_scope_run *run = waves_run(&d, "rolling", NULL, 0, 0.3, 1, traces);
    for (size_t i = 0; i < run->n_notices; i++)
        if (strcmp(run->notices[i].says, "counts") == 0)
            desk_near(run->notices[i].value, 90, 1, "of the wheel");
    assert_null(bp_scope_feature(run, 0, "duty"));
    assert_non_null(bp_scope_feature(run, 0, "frequency"));
    bp_scope_run_free(&run);
    says_over_time(&d, "rolling", NULL, 0.3, "A1", "counts");
    desk_clear(&d);
    open_library(&d, "hall-sensor");
    run = waves_run(&d, "cranking", NULL, 0, 2, 1, hall);
    desk_near(bp_scope_feature(run, 0, "duty")->value, 0.6, 0.005, "high for 60 %");
    bp_scope_run_free(&run);
    run = waves_run(&d, "cranking", NULL, 0, 0.5, 1, hall);
    for (size_t i = 0; i < run->n_notices; i++)
        assert_string_not_equal(run->notices[i].part, "A3");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

typedef struct expectation {
    const char *faults, *says;
} expectation;

/* What park switches do: common practice. */
static void a_wiper_parks_or_does_not(void **state) {
    (void)state;
    static const expectation all[] = {{NULL, "parked"},
                                      {"M1:park-open", "stops-short"},
                                      {"M1:park-welded", "never-stops"},
                                      {"M1:brake-open", "never-stops"},
                                      {"M1:brake-welded", "stops-short"},
                                      {"M1:cam-slipped", "stops-short"},
                                      {"M1:common-brush-open", "stops-short"},
                                      {"G3:open", "stops-short"},
                                      {"W16:open", "stops-short"}};
    desk d;
    open_library(&d, "wiper");
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        says_over_time(&d, "returning", all[i].faults, 3, "M1", all[i].says);
    desk_clear(&d);
}

/* With its brushes shorted a motor without friction slows down as exp(-t / T), T = J R / k^2: with
 * speed, torque and inertia in rated units T = inertia / (E / (R I)). Friction helps it: the brake
 * must be quicker than that alone to a twentieth, and quicker than friction alone. */
static void a_brake_is_quicker_than_friction(void **state) {
    (void)state;
    static const char *const traces[] = {"M1.53", NULL};
    desk d;
    open_library(&d, "wiper");
    bp_scope_run *run = waves_run(&d, "returning", NULL, 0, 3, 1, traces);
    const double braked = waves_feature(run, BP_SCOPE_NO_TRACE, "braking-time");
    bp_scope_run_free(&run);
    const double ohm = 13.5 / 28, emf = 13.5 - 4 * ohm, tau = 0.3 / (emf / (ohm * 4));
    assert_true(braked < tau * log(1 / 0.03) * 1.1);
    assert_true(braked < 0.3 / 0.8);
    assert_true(braked > 0.3 * tau);
    desk_clear(&d);
}

static void same_at_half_steps(desk *d, const char *state, double from, double to,
                               const char *const *traces) {
    bp_scope_run *coarse = waves_run(d, state, NULL, from, to, 1, traces);
    bp_scope_run *fine = waves_run(d, state, NULL, from, to, 2, traces);
    size_t compared = 0;
    for (size_t i = 0; i < coarse->n_features; i++) {
        const bp_feature *f = &coarse->features[i];
        if (strcmp(f->id, "lowest") == 0 && fabs(f->value) < 0.1)
            continue; /* nothing but a drop */
        const double other = waves_feature(fine, f->trace, f->id);
        desk_near(other, f->value, 0.01 * fabs(f->value) + 1e-6, f->id);
        compared++;
    }
    assert_true(compared > 3);
    bp_scope_run_free(&coarse);
    bp_scope_run_free(&fine);
}

/* With half the steps no feature moves by more than a percent. */
static void features_do_not_depend_on_steps(void **state) {
    (void)state;
    static const char *const crank[] = {"C4.a1 C4.a2", NULL}, *const hall[] = {"C4.a2", NULL};
    static const char *const wiper[] = {"M1.53", NULL};
    desk d;
    open_library(&d, "crank-sensor");
    same_at_half_steps(&d, "cranking", 0.05, 0.3, crank);
    desk_clear(&d);
    open_library(&d, "hall-sensor");
    same_at_half_steps(&d, "cranking", 0, 1.3, hall);
    desk_clear(&d);
    open_library(&d, "wiper");
    same_at_half_steps(&d, "returning", 0, 2, wiper);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(frequency_and_amplitude_follow_speed),
        cmocka_unit_test(a_load_meets_copper_and_inductance),
        cmocka_unit_test(the_gap_decides),
        cmocka_unit_test(an_engine_starts_at_480_mV_and_not_at_200),
        cmocka_unit_test(a_wheel_counts_its_own_turns),
        cmocka_unit_test(a_hall_sensor_switches),
        cmocka_unit_test(a_wiper_parks_or_does_not),
        cmocka_unit_test(a_brake_is_quicker_than_friction),
        cmocka_unit_test(features_do_not_depend_on_steps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
