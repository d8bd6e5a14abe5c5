/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Switched loads and the starter over time: closed forms, an army manual's cable drops, common
 * practice.
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

static void open_library(desk *d, const char *id) {
    *d = (desk){.question = BP_QUESTION_INIT, .report = bp_report_new()};
    assert_int_equal(bp_load(id, &d->circuit, d->report), BP_OK);
    d->lab = bp_lab_new(d->circuit, 1, d->report);
    assert_non_null(d->lab);
}

static double feature(desk *d, const char *state, const char *faults, double from, double to,
                      const char *trace, const char *id) {
    const char *const traces[] = {trace, NULL};
    bp_scope_run *run = waves_run(d, state, faults, from, to, 1, traces);
    const double got = waves_feature(run, BP_SCOPE_NO_TRACE, id);
    bp_scope_run_free(&run);
    return got;
}

#define VALVE                                                                                      \
    "V: {kind: source, emf: 12 V}, Y: {kind: solenoid, resistance: 12 ohm, inductance: 12 mH}, "   \
    "A: {kind: low-side-driver, on-resistance: 0.4 ohm, frequency: 50 Hz, on-time: 1 ms, clamp: "  \
    "60 V}"
#define VALVE_WIRES                                                                                \
    "W1: {from: V.+, to: Y.1, size: 2.5 mm2, length: 1 cm}, W2: {from: Y.2, to: A.out}, "          \
    "W3: {from: A.31, to: V.-}"
#define VALVE_STATES "off: {}, pulsing: {A: pulsing, from: off}"

/* V/R (1 - exp(-t R/L)); then the winding's field drives the voltage up to the clamp, and the
 * energy L I^2 / 2 decides how long it stays there: t = L/R ln(1 + I R / (Vc - V)). */
static void a_winding_ramps_and_kicks(void **state) {
    (void)state;
    desk d;
    desk_set(&d, VALVE, VALVE_WIRES, VALVE_STATES);
    const double ohm = 12 + 0.4 + 0.02, want = 12 / ohm * (1 - exp(-1e-3 * ohm / 12e-3));
    desk_near(feature(&d, "pulsing", NULL, 0, 10e-3, "clamp W1", "current-at-switch-off"), want,
              0.01 * want, "R-L ramp");
    desk_near(feature(&d, "pulsing", NULL, 0, 10e-3, "Y.2", "kick"), 60, 1, "the clamp");
    /* While off: energy into the clamp, by time above 36 V. */
    static const char *const traces[] = {"Y.2", NULL};
    bp_scope_run *run = waves_run(&d, "pulsing", NULL, 0, 10e-3, 2, traces);
    double above = 0;
    for (size_t i = 1; i < run->n; i++)
        if (run->traces[0].value[i] > 36 && run->traces[0].value[i - 1] > 36)
            above += run->time[i] - run->time[i - 1];
    /* Told when it is over, it stands where it was: the edge takes microseconds. */
    const bp_feature *kick = bp_scope_feature(run, BP_SCOPE_NO_TRACE, "kick");
    const bp_feature *on = bp_scope_feature(run, BP_SCOPE_NO_TRACE, "on-time");
    assert_true(kick && on && kick->at >= on->until && kick->at < on->until + 20e-6);
    for (size_t i = 1; i < run->n_events; i++)
        assert_true(run->events[i - 1].time <= run->events[i].time);
    bp_scope_run_free(&run);
    desk_near(above, 12e-3 / 12 * log(1 + want * 12 / (60 - 12)), 8e-6, "time in the clamp");
    desk_clear(&d);
}

/* Peak and hold: the peak comes after L/R ln(1/(1 - I R/V)); then no more than the hold current
 * flows, and the output stands at V less what that drops; it kicks twice. A weak feed never gets
 * there. */
static void a_held_winding_peaks_first(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        "V: {kind: source, emf: 14 V}, Y: {kind: solenoid, resistance: 2 ohm, inductance: 3 mH, "
        "pull-in: 2 V, drop-out: 1 V}, A: {kind: low-side-driver, on-resistance: 0.3 ohm, "
        "frequency: 50 Hz, on-time: 5 ms, clamp: 45 V, peak: 4 A, hold: 1 A}",
        "W1: {from: V.+, to: Y.1, size: 2.5 mm2, length: 1 cm}, W2: {from: Y.2, to: A.out}, "
        "W3: {from: A.31, to: V.-}",
        VALVE_STATES);
    const double ohm = 2.3, time = 3e-3 / ohm * log(1 / (1 - 4 * ohm / 14));
    desk_near(feature(&d, "pulsing", NULL, 0, 8e-3, "clamp W1", "time-to-peak"), time, 0.01 * time,
              "L/R ln(1/(1 - I R/V))");
    desk_near(feature(&d, "pulsing", NULL, 0, 8e-3, "clamp W1", "peak-current"), 4, 0.04, "peak");
    desk_near(feature(&d, "pulsing", NULL, 0, 8e-3, "clamp W1", "current-at-switch-off"), 1, 0.04,
              "hold");
    desk_near(feature(&d, "pulsing", NULL, 4e-3, 4.9e-3, "Y.2", "mean"), 14 - 2 * 1, 0.2,
              "the output while it holds");
    desk_near(feature(&d, "pulsing", NULL, 1e-3, 3e-3, "Y.2", "highest"), 45, 1, "first kick");
    assert_true(
        isnan(feature(&d, "pulsing", "W1:resistance=1.5ohm", 0, 8e-3, "clamp W1", "time-to-peak")));
    desk_clear(&d);
}

/* With a diode across it the winding does not kick; without, it does: common practice. */
static void suppression_takes_the_kick(void **state) {
    (void)state;
    desk d;
    open_library(&d, "injector");
    assert_true(feature(&d, "idle", NULL, 0, 95e-3, "Y2.2 A1.31", "highest") < 16);
    assert_true(feature(&d, "idle", "D2:open", 0, 95e-3, "Y2.2 A1.31", "highest") > 50);
    assert_true(feature(&d, "idle", NULL, 0, 12e-3, "Y1.2 A1.31", "highest") > 50);
    desk_clear(&d);
}

/* A shorted module runs its fan with the key on and the engine cold; unplugging it stops it. */
static void a_shorted_module_runs_its_fan(void **state) {
    (void)state;
    static const char *const unplug[] = {"unplug C6"};
    desk d;
    double speed;
    open_library(&d, "pwm-fan");
    assert_string_equal(desk_says(&d, "key-on", NULL, "M1", NULL), "off");
    desk_says(&d, "key-on", "A1:output-shorted", "M1", &speed);
    assert_true(speed > 0.5);
    d.question.after = unplug;
    d.question.n_after = 1;
    assert_string_equal(desk_says(&d, "key-on", "A1:output-shorted", "M1", NULL), "off");
    desk_clear(&d);
}

/* Commutators of eight bars: eight swings a turn, 100 turns a second at the rated voltage. */
static void a_pump_ripples(void **state) {
    (void)state;
    desk d;
    desk_set(&d, "V: {kind: source, emf: 13.5 V}, M: {kind: motor, current: 5 A, load: pump}",
             "W1: {from: V.+, to: M.1, size: 25 mm2, length: 1 cm}, W2: {from: M.2, to: V.-}",
             NULL);
    desk_near(feature(&d, NULL, NULL, 0.2, 0.22, "clamp W1", "frequency"), 800, 8, "8 bars, 100/s");
    desk_near(feature(&d, NULL, NULL, 0.2, 0.22, "clamp W1", "mean"), 5, 0.05, "rated current");
    desk_clear(&d);
}

/* A starter at a standstill is its armature: I = E / (Ri + Rc + V/Is), and the battery dips by
 * I Ri. Two compressions a turn of a four-cylinder engine. */
static void a_battery_dips_and_recovers(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 12.6 V, resistance: 5 mohm}, S: {kind: switch, positions: "
             "{off: [], on: [[1, 2]]}}, M: {kind: starter, contact: 0.3 mohm}",
             "W1: {from: V.+, to: M.30}, W2: {from: V.+, to: S.1}, W3: {from: S.2, to: M.50}, "
             "W4: {from: M.31, to: V.-}",
             "off: {}, on: {S: on, from: off}");
    const double stall = 12.6 / (5e-3 + 0.3e-3 + 10.5 / 480);
    desk_near(feature(&d, "on", NULL, 0, 1, "V.+", "lowest"), 12.6 - stall * 5e-3, 0.15,
              "12.6 V less the stall current's drop");
    static const char *const traces[] = {"V.+", NULL};
    bp_scope_run *run = waves_run(&d, "on", NULL, 0.5, 2, 1, traces);
    double rpm = NAN;
    for (size_t i = 0; i < run->n_notices; i++)
        if (strcmp(run->notices[i].part, "M") == 0)
            rpm = run->notices[i].value;
    desk_near(waves_feature(run, 0, "frequency"), 2 * rpm / 60, 0.05 * 2 * rpm / 60,
              "two compressions a turn");
    assert_true(waves_feature(run, 0, "lowest") > 12.6 - stall * 5e-3 + 0.5);
    bp_scope_run_free(&run);
    /* What a window with the surge in it says of the settled half is what that half alone says. */
    const double mean = feature(&d, "on", NULL, 1, 2, "clamp W1", "mean");
    desk_near(feature(&d, "on", NULL, 0, 2, "clamp W1", "settled"), mean, 0.01 * mean,
              "second half");
    const double swing = feature(&d, "on", NULL, 1, 2, "clamp W1", "peak-to-peak");
    desk_near(feature(&d, "on", NULL, 0, 2, "clamp W1", "ripple"), swing, 0.02 * swing,
              "second half");
    desk_clear(&d);
}

/* At most 0.2 V for each 100 A on a starter cable: US Army TM 10-3930-671-24. At most 0.5 V on the
 * feed side and 0.3 V on the ground side while cranking: common practice. */
static void drops_while_cranking(void **state) {
    (void)state;
    desk d;
    double rpm, cold;
    open_library(&d, "starting");
    const double amps = feature(&d, "cranking", NULL, 0.6, 1.2, "clamp W1", "mean") / 100;
    assert_true(amps > 1 && amps < 2);
    assert_true(desk_volts(&d, "cranking", NULL, "A", "C") < 0.2 * amps + 0.1);
    assert_true(desk_volts(&d, "cranking", NULL, "E", NULL) < 0.3);
    assert_true(desk_volts(&d, "cranking", "BAT.+:resistance=5mohm", "A", "C") > 0.5);
    assert_true(desk_volts(&d, "cranking", "G1:resistance=100mohm", "E", NULL) > 0.3);
    assert_string_equal(desk_says(&d, "cranking", NULL, "M1", &rpm), "normal");
    desk_says(&d, "cranking-cold", NULL, "M1", &cold);
    assert_true(cold < 0.7 * rpm);
    desk_clear(&d);
}

static const char *says(desk *d, const char *faults) {
    static const char *const traces[] = {"BAT/+", NULL};
    static char word[32];
    bp_scope_run *run = waves_run(d, "cranking", faults, 0, 1.2, 1, traces);
    strncpy(word, waves_says(run, "M1"), sizeof word - 1);
    bp_scope_run_free(&run);
    return word;
}

/* A holding winding that is open lets go as soon as the contact has taken the pull-in winding's
 * voltage away: the starter clatters (common practice). */
static void what_a_solenoid_does(void **state) {
    (void)state;
    desk d;
    open_library(&d, "starting");
    assert_string_equal(says(&d, NULL), "normal");
    assert_string_equal(says(&d, "M1:hold-open"), "chatter");
    assert_string_equal(says(&d, "M1:contact-open"), "clicks");
    assert_string_equal(says(&d, "M1:seized"), "stalled");
    assert_string_equal(says(&d, "M1:spins-free"), "spins-free");
    assert_string_equal(says(&d, "C3.1:open"), "off");
    const double good = feature(&d, "cranking", NULL, 0.5, 1.2, "clamp W1", "peak-to-peak");
    const double weak =
        feature(&d, "cranking", "M1:weak-cylinder", 0.5, 1.2, "clamp W1", "peak-to-peak");
    assert_true(fabs(weak / good - 1) > 0.05);
    desk_clear(&d);
}

static void features_do_not_depend_on_steps(void **state) {
    (void)state;
    static const struct {
        const char *circuit, *state, *trace;
        double from, to;
    } runs[] = {{"injector", "idle", "clamp W11", 0, 12e-3},
                {"pwm-fan", "half", "clamp W11", 1.95, 2},
                {"starting", "cranking", "clamp W1", 0, 1}};
    for (size_t r = 0; r < sizeof runs / sizeof *runs; r++) {
        desk d;
        open_library(&d, runs[r].circuit);
        const char *const traces[] = {runs[r].trace, NULL};
        bp_scope_run *coarse =
            waves_run(&d, runs[r].state, NULL, runs[r].from, runs[r].to, 1, traces);
        bp_scope_run *fine =
            waves_run(&d, runs[r].state, NULL, runs[r].from, runs[r].to, 2, traces);
        static const char *const ids[] = {"highest", "rms", "mean",
                                          "kick",    "dip", "current-at-switch-off"};
        for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
            const double a = waves_feature(coarse, BP_SCOPE_NO_TRACE, ids[i]);
            if (!isnan(a))
                desk_near(waves_feature(fine, BP_SCOPE_NO_TRACE, ids[i]), a, 0.01 * fabs(a),
                          ids[i]);
        }
        bp_scope_run_free(&coarse);
        bp_scope_run_free(&fine);
        desk_clear(&d);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_winding_ramps_and_kicks),
        cmocka_unit_test(a_held_winding_peaks_first),
        cmocka_unit_test(suppression_takes_the_kick),
        cmocka_unit_test(a_shorted_module_runs_its_fan),
        cmocka_unit_test(a_pump_ripples),
        cmocka_unit_test(a_battery_dips_and_recovers),
        cmocka_unit_test(drops_while_cranking),
        cmocka_unit_test(what_a_solenoid_does),
        cmocka_unit_test(features_do_not_depend_on_steps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
