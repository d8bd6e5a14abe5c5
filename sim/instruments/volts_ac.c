/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Instruments that only a run over time can serve: the AC voltmeter, duty and hertz. To the circuit
 * each is the voltmeter that it is a range of.
 */
#include <math.h>
#include <stdio.h>

#include "sim/features.h"
#include "sim/instrument.h"

/* True RMS, behind a capacitor that keeps the mean back: data-sheet typical for a workshop
 * multimeter. 1 % + 3 counts from 45 Hz to some kilohertz; its first-order fall is 3 dB down at 20
 * kHz: data-sheet typical, from memory. */
#define BANDWIDTH_HERTZ 20e3
#define AC_PERCENT 0.01
#define AC_COUNTS 3
#define AC_COUNT 1e-3
enum { AC_RANGES = 3 };

/* Hertz: 0.1 % + 1 count of 0.1 Hz; duty 1 % of the whole: data-sheet typical, from memory. */
#define HERTZ_PERCENT 0.001
#define HERTZ_COUNT 0.1
enum { HERTZ_RANGES = 4 };
#define DUTY_WRONG 0.01

/* What a counter needs between the highest and the lowest, V: data-sheet typical, from memory. */
#define TRIGGER_VOLTS 0.25

/* A meter settles for a tenth of a second and then shows what it measured in half of one, or in
 * three turns of the crankshaft where those take longer: common practice. */
static const double settles = 0.1, measures = 0.5, turns = 3;

double bp_measuring_time(double speed) {
    return speed > 0 ? fmax(measures, turns * 60 / speed) : measures;
}

static double window(double speed) { return settles + bp_measuring_time(speed); }

/* The first sample that counts. A shorter run is one of what has long settled. */
static size_t settled(const bp_scope_run *run) {
    const bool whole = run->to - run->from > settles + measures / 2;
    size_t i = 0;
    while (whole && i + 3 < run->n && run->time[i] < run->from + settles)
        i++;
    return i;
}

static double count_volts(double value) { return bp_count_of(value, AC_COUNT, AC_RANGES); }

/* A first-order fall, exact for straight lines between samples; then the root of the mean square.
 */
static double measure_ac(const bp_scope_run *run, size_t trace) {
    const size_t first = settled(run), n = run->n - first;
    const double *t = &run->time[first], *v = &run->traces[trace].value[first];
    const double tau = 1 / (2 * 3.14159265358979323846 * BANDWIDTH_HERTZ);
    const double mean = bp_mean_of(t, v, n);
    double shown = v[0] - mean, sum = 0;
    for (size_t i = 1; i < n; i++) {
        const double dt = t[i] - t[i - 1], slope = (v[i] - v[i - 1]) / dt;
        const double keeps = exp(-dt / tau), was = shown;
        shown = v[i] - mean - slope * tau + (was - (v[i - 1] - mean) + slope * tau) * keeps;
        sum += dt * (was * was + was * shown + shown * shown) / 3;
    }
    return sqrt(sum / (t[n - 1] - t[0]));
}

static void show_ac(double value, char *text, size_t size) {
    bp_show_counts(value, count_volts(value), BP_UNIT_VOLT, text, size);
}

static double accuracy_ac(double value) {
    return AC_PERCENT * fabs(value) + AC_COUNTS * count_volts(value);
}

static bool rhythm(const bp_scope_run *run, size_t trace, double *hertz, double *duty) {
    const size_t first = settled(run), n = run->n - first;
    const double *t = &run->time[first], *v = &run->traces[trace].value[first];
    double low = v[0], high = v[0];
    for (size_t i = 1; i < n; i++) {
        low = fmin(low, v[i]);
        high = fmax(high, v[i]);
    }
    return high - low >= TRIGGER_VOLTS && bp_rhythm_of(t, v, n, hertz, duty);
}

static double measure_hertz(const bp_scope_run *run, size_t trace) {
    double hertz, duty;
    return rhythm(run, trace, &hertz, &duty) ? hertz : 0;
}

static double count_hertz(double value) { return bp_count_of(value, HERTZ_COUNT, HERTZ_RANGES); }

static void show_hertz(double value, char *text, size_t size) {
    bp_show_counts(value, count_hertz(value), BP_UNIT_HERTZ, text, size);
}

static double accuracy_hertz(double value) { return HERTZ_PERCENT * value + count_hertz(value); }

static double measure_duty(const bp_scope_run *run, size_t trace) {
    double hertz, duty;
    return rhythm(run, trace, &hertz, &duty) ? duty : NAN;
}

static void show_duty(double value, char *text, size_t size) {
    snprintf(text, size, "%.1f %%", 100 * value);
}

static double accuracy_duty(double value) {
    (void)value;
    return DUTY_WRONG;
}

const bp_instrument_def bp_meter_volts_ac = {.unit = BP_UNIT_VOLT,
                                             .over_time = measure_ac,
                                             .window = window,
                                             .show = show_ac,
                                             .accuracy = accuracy_ac};

const bp_instrument_def bp_meter_hertz = {.unit = BP_UNIT_HERTZ,
                                          .over_time = measure_hertz,
                                          .window = window,
                                          .show = show_hertz,
                                          .accuracy = accuracy_hertz};

const bp_instrument_def bp_meter_duty = {.unit = BP_UNIT_FRACTION,
                                         .over_time = measure_duty,
                                         .window = window,
                                         .show = show_duty,
                                         .accuracy = accuracy_duty};
