/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Alternator: textbook closed forms of the six-pulse bridge, the law of induction, the steady
 * average against the run over time, the warning lamp's logic, and common practice of the charging
 * circuit.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <backprobe/load.h>

#include "sim/generator.h"
#include "tests/sim/asked.h"
#include "tests/sim/waves.h"

static const double pi = 3.14159265358979323846;

static void open_library(desk *d) {
    *d = (desk){.question = BP_QUESTION_INIT, .report = bp_report_new()};
    assert_int_equal(bp_load("charging", &d->circuit, d->report), BP_OK);
    d->lab = bp_lab_new(d->circuit, 1, d->report);
    assert_non_null(d->lab);
}

/* Its field fed from a source that the phases do not reach; a resistor takes next to nothing. */
#define BENCH(ohm)                                                                                 \
    "V: {kind: source, emf: 9 V}, X: {kind: alternator, stator: 1 mohm, set: 30 V, residual: 0 "   \
    "%, "                                                                                          \
    "ratio: 1}, R: {kind: resistor, resistance: " ohm "}, G: {kind: ground}"
#define BENCH_WIRES                                                                                \
    "W1: {from: V.+, to: X.D+}, W2: {from: V.-, to: G}, W3: {from: X.31, to: G}, W4: {from: "      \
    "X.B+, to: R.1}, W5: {from: R.2, to: G}"

static double feature(desk *d, const char *state, const char *faults, double from, double to,
                      double fineness, const char *trace, const char *id) {
    const char *const traces[] = {trace, NULL};
    bp_scope_run *run = waves_run(d, state, faults, from, to, fineness, traces);
    const double got = waves_feature(run, BP_SCOPE_NO_TRACE, id);
    bp_scope_run_free(&run);
    return got;
}

/* What both diodes drop at 0.06 A: n kT/q ln(I/Is) each, V. */
static double both_drops(void) {
    return 2 * BP_GENERATOR_EMISSION * 25.85e-3 * log(0.06 / BP_GENERATOR_SATURATION);
}

/* Textbook: with next to no current the direct voltage follows the highest line voltage, its mean
 * is 3 sqrt(2)/pi of a line's rms = 3/pi of its peak, and it ripples by 1 - cos(30 deg) = 13.4 % of
 * the peak, 14 % of the mean; six pulses a period. */
static void six_pulses_are_those_of_the_textbook(void **state) {
    (void)state;
    desk d;
    desk_set(&d, BENCH("100 ohm"), BENCH_WIRES, "on: {speed: 600 rpm}");
    static const char *const traces[] = {"X.B+ X.31", NULL};
    bp_scope_run *run = waves_run(&d, "on", NULL, 0.02, 0.1, 1, traces);
    const double peak = waves_feature(run, 0, "highest"), mean = waves_feature(run, 0, "mean");
    const double ripple = waves_feature(run, 0, "peak-to-peak"), drops = both_drops();
    desk_near(mean + drops, 3 / pi * (peak + drops), 0.01 * peak, "3 sqrt(2)/pi of the lines' rms");
    desk_near(ripple, (1 - cos(pi / 6)) * (peak + drops), 0.02 * peak, "1 - cos 30 degrees");
    desk_near(waves_feature(run, 0, "frequency"), 6 * 6 * 600.0 / 60, 3, "6 pulses, 6 pole pairs");
    desk_near(waves_feature(run, BP_SCOPE_NO_TRACE, "pulses"), 6 * 6 * 600.0 / 60, 31,
              "the same, counted");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* Textbook: the ripple factor of the six-pulse bridge, true RMS over mean, is 4.2 %. The AC meter
 * is on the output of a machine that has been turning for long. */
static void an_ac_meter_shows_the_ripple_factor(void **state) {
    (void)state;
    desk d;
    desk_set(&d, BENCH("100 ohm"), BENCH_WIRES, "on: {speed: 600 rpm}");
    static const char *const traces[] = {"X.B+ X.31", NULL};
    bp_scope_run *run = waves_run(&d, "on", NULL, 0.02, 0.1, 1, traces);
    const double mean = waves_feature(run, 0, "mean") + both_drops();
    bp_scope_run_free(&run);
    desk_near(read_one(&d, BP_VOLTS_AC, "X.B+", "X.31").value / mean, 0.042, 0.001, "4.2 %");
    desk_clear(&d);
}

/* Induction: the emf goes with the speed, and with the field as long as the iron is far from full
 *. */
static void emf_goes_with_speed_and_field(void **state) {
    (void)state;
    desk d;
    desk_set(&d, BENCH("100 ohm"), BENCH_WIRES, "slow: {speed: 300 rpm}, fast: {speed: 600 rpm}");
    const double slow = feature(&d, "slow", NULL, 0.02, 0.08, 1, "X.B+ X.31", "highest");
    const double fast = feature(&d, "fast", NULL, 0.02, 0.08, 1, "X.B+ X.31", "highest");
    desk_near((fast + both_drops()) / (slow + both_drops()), 2, 0.06, "twice the speed");
    desk_clear(&d);
    const bp_generator g = bp_generator_of(90, 13.5, 3770, 660, 3.5, 0.04);
    desk_near(bp_generator_emf(&g, 1000, 0.2) / bp_generator_emf(&g, 500, 0.1), 4, 0.01,
              "speed times field");
    assert_true(bp_generator_emf(&g, 1000, 7) < 1.8 * bp_generator_emf(&g, 1000, 3.5));
}

/* What it is rated at (ISO 8854): the lines' peak at the cut-in speed, the current at the rated
 * one, by the closed form of a bridge on a constant voltage with and without resistance. */
static void rating_gives_reactance(void **state) {
    (void)state;
    const double rated = 3770, field = 3.5, ohm = 1e-6;
    const bp_generator g = bp_generator_of(90, 13.5, rated, 660, field, ohm);
    desk_near(sqrt(3) * bp_generator_emf(&g, 660, field), 13.5 + 1.9, 0.01, "cut-in");
    const double emf = bp_generator_emf(&g, rated, field), volts = 2 / pi * (13.5 + 1.9);
    const double amps = 3 / pi * sqrt(emf * emf - volts * volts) / (rated * g.henry);
    desk_near(amps, 90 + field, 0.1, "3/pi sqrt(E^2 - (2 V/pi)^2)/(w L)");
}

/* The average of the steady deck is that of a run, good or hurt: 15 % of the current at full field
 * and the same voltage, and a volt or so at D+. */
static void the_average_is_that_of_a_run(void **state) {
    (void)state;
    static const struct {
        const char *fault;
        double volts; /* how far D+ may lie off: an open positive diode lifts it in needles */
    } row[] = {{"", 1},
               {"+X:negative-open", 1},
               {"+X:positive-open", 4.5},
               {"+X:positive-shorted", 1},
               {"+X:negative-shorted", 1.5},
               {"+X:phase-open", 1},
               {"+X:exciter-open", 1}};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 14 V, resistance: 1 mohm}, X: {kind: alternator}, G: {kind: "
             "ground}, L: {kind: lamp, power: 3 W}",
             "W1: {from: X.B+, to: V.+, size: 25 mm2, length: 1 m}, W2: {from: V.-, to: G}, W3: "
             "{from: X.31, to: G}, W4: {from: V.+, to: L.1}, W5: {from: L.2, to: X.D+}, W6: {from: "
             "X.S, to: V.+}",
             "off: {}, fast: {speed: 2000 rpm, engine: 90 degC, from: off}");
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        char fault[80];
        snprintf(fault, sizeof fault, "X:full-field%s", row[i].fault);
        double amps;
        desk_says(&d, "fast", fault, "X", &amps);
        static const char *const traces[] = {"clamp W1", "X.D+ X.31", NULL};
        bp_scope_run *run = waves_run(&d, "fast", fault, 0.25, 0.27, 1, traces);
        desk_near(amps, waves_feature(run, 0, "mean"), 0.15 * fabs(amps), row[i].fault);
        desk_near(desk_volts(&d, "fast", fault, "X.D+", "X.31"), waves_feature(run, 1, "mean"),
                  row[i].volts, "D+");
        bp_scope_run_free(&run);
    }
    desk_clear(&d);
}

/* Common practice: 13.8 to 14.8 V at the battery, at most 0.2 V from B+ to the post and 0.2 V from
 * the housing to the other one with the loads on, some tens of millivolts of ripple; an open diode
 * brings several times as much, at a multiple of the phase's frequency and not six times it. */
static void a_good_circuit_charges_as_practice_has_it(void **state) {
    (void)state;
    static const char *const states[] = {"idle", "loaded", "fast", "cold"};
    desk d;
    open_library(&d);
    for (size_t i = 0; i < sizeof states / sizeof *states; i++) {
        const double volts = desk_volts(&d, states[i], NULL, "BAT/+", "BAT/-");
        assert_true(volts > 13.8 && volts < 14.8);
        assert_true(desk_volts(&d, states[i], NULL, "ALT.B+", "BAT/+") < 0.2);
        assert_true(desk_volts(&d, states[i], NULL, "BAT/-", "ALT/31") < 0.2);
    }
    /* -3 to -10 mV a kelvin between cold and warm, both at the sense wire. */
    const double warm = desk_volts(&d, "idle", NULL, "ALT.S", "ALT/31"),
                 cold = desk_volts(&d, "cold", NULL, "ALT.S", "ALT/31");
    assert_true((cold - warm) / 100 > 3e-3 && (cold - warm) / 100 < 10e-3);
    const double good = feature(&d, "fast", NULL, 0, 8e-3, 1, "BAT/+", "ripple");
    const double open = feature(&d, "fast", "ALT:negative-open", 0, 8e-3, 1, "BAT/+", "ripple");
    assert_true(good > 5e-3 && good < 0.1);
    assert_true(open > 0.4 && open > 5 * good);
    const double phase = 6 * 2000 * 2.7 / 60;
    desk_near(feature(&d, "fast", NULL, 0, 8e-3, 1, "BAT/+", "pulses"), 6 * phase, 0.06 * phase,
              "six pulses");
    const double pulses = feature(&d, "fast", "ALT:negative-open", 0, 8e-3, 1, "BAT/+", "pulses");
    assert_true(pulses < 3.5 * phase);
    desk_clear(&d);
}

/* On with the key, out when it charges; dark with the key on when nothing leads through it. */
static void the_lamp_tells_what_it_should(void **state) {
    (void)state;
    static const struct {
        const char *state, *fault, *lamp;
    } row[] = {
        {"parked", NULL, "off"},
        {"key-on", NULL, "weak"},
        {"idle", NULL, "off"},
        {"key-on", "W12:open", "off"},
        {"key-on", "ALT:field-open", "off"},
        {"key-on", "ALT:no-field", "off"},
        {"idle", "ALT:belt-off", "weak"},
        {"idle", "ALT:worn-brushes", "weak"},
        {"key-on", "W12:short-to-ground", "normal"},
        {"fast", "W12:short-to-ground", "normal"},
        {"loaded", "W1:open", "weak"},
        {"idle", "ALT:negative-shorted", "weak"},
        /* Battery, positive diode, exciter diode, D+: the lamp has it on both ends. */
        {"key-on", "ALT:positive-shorted", "off"},
    };
    desk d;
    open_library(&d);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const char *says = desk_says(&d, row[i].state, row[i].fault, "H1", NULL);
        if (strcmp(says, row[i].lamp) != 0)
            fail_msg("%s, %s: the lamp says %s, expected %s", row[i].state,
                     row[i].fault ? row[i].fault : "healthy", says, row[i].lamp);
    }
    desk_clear(&d);
}

/* Without the lamp's current remanence is too weak at idle and enough when revved; then it goes on
 * charging at idle. Common practice. */
static void without_the_lamp_it_starts_when_revved(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        "B: {kind: battery, charge: 90 %}, S: {kind: switch, positions: {off: [], on: [[1, 2]]}}, "
        "L: {kind: lamp, power: 3 W}, X: {kind: alternator}",
        "W1: {from: B.+, to: X.B+}, W2: {from: X.31, to: B.-}, W3: {from: B.+, to: S.1}, W4: "
        "{from: S.2, to: L.1}, W5: {from: L.2, to: X.D+}",
        "on: {S: on}, idle: {S: on, speed: 800 rpm, from: on}, revved: {S: on, speed: 3500 rpm, "
        "from: idle}, again: {S: on, speed: 800 rpm, from: revved}");
    assert_string_equal(desk_says(&d, "idle", NULL, "X", NULL), "normal");
    assert_string_equal(desk_says(&d, "idle", "W5:open", "X", NULL), "dead");
    assert_string_equal(desk_says(&d, "revved", "W5:open", "X", NULL), "normal");
    assert_string_equal(desk_says(&d, "again", "W5:open", "X", NULL), "normal");
    desk_clear(&d);
}

/* Halving the step moves no feature by more than 1 %. */
static void features_do_not_depend_on_steps(void **state) {
    (void)state;
    static const char *const ids[] = {"ripple", "pulses", "mean", "peak-to-peak"};
    static const char *const traces[] = {"clamp W1", NULL};
    desk d;
    open_library(&d);
    bp_scope_run *run = waves_run(&d, "fast", NULL, 0, 6e-3, 1, traces);
    bp_scope_run *finer = waves_run(&d, "fast", NULL, 0, 6e-3, 2, traces);
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
        const double a = waves_feature(run, BP_SCOPE_NO_TRACE, ids[i]);
        desk_near(a, waves_feature(finer, BP_SCOPE_NO_TRACE, ids[i]), 0.01 * fabs(a), ids[i]);
    }
    bp_scope_run_free(&run);
    bp_scope_run_free(&finer);
    desk_clear(&d);
}

/* The supply of a state is not charging where an alternator is. */
static void charging_is_the_alternators_own(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    static const char text[] =
        "backprobe: 1\nid: x\ntitle: x\nparts: {B: {kind: battery}, X: {kind: alternator}}\n"
        "wires: {W1: {from: B.+, to: X.B+}, W2: {from: X.31, to: B.-}, W3: {from: X.D+, to: B.+}}\n"
        "states: {on: {supply: charging}}\n";
    bp_circuit *circuit = NULL;
    assert_int_not_equal(bp_load_text(text, sizeof text - 1, "x.yaml", &circuit, report), BP_OK);
    assert_non_null(strstr(bp_report_at(report, 0)->text, "alternator of its own"));
    bp_circuit_free(&circuit);
    bp_report_free(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(six_pulses_are_those_of_the_textbook),
        cmocka_unit_test(an_ac_meter_shows_the_ripple_factor),
        cmocka_unit_test(emf_goes_with_speed_and_field),
        cmocka_unit_test(rating_gives_reactance),
        cmocka_unit_test(the_average_is_that_of_a_run),
        cmocka_unit_test(a_good_circuit_charges_as_practice_has_it),
        cmocka_unit_test(the_lamp_tells_what_it_should),
        cmocka_unit_test(without_the_lamp_it_starts_when_revved),
        cmocka_unit_test(features_do_not_depend_on_steps),
        cmocka_unit_test(charging_is_the_alternators_own),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
