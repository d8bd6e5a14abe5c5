/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the dip of the battery does while the starter pulls, and how bad cables show: thresholds of
 * relays and modules against the voltage of the very run, drops against an army manual and common
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

static void open_starting(desk *d) {
    *d = (desk){.question = BP_QUESTION_INIT, .report = bp_report_new()};
    assert_int_equal(bp_load("starting", &d->circuit, d->report), BP_OK);
    d->lab = bp_lab_new(d->circuit, 1, d->report);
    assert_non_null(d->lab);
}

/* The first event of this id of this part from `after` on; NAN: there is none. */
static double when(const bp_scope_run *run, const char *part, const char *id, double after) {
    for (size_t i = 0; i < run->n_events; i++)
        if (run->events[i].time >= after && strcmp(run->events[i].part, part) == 0 &&
            strcmp(run->events[i].id, id) == 0)
            return run->events[i].time;
    return NAN;
}

/* The first time from `from` on at which the trace is below (or above) the level. */
static double passes(const bp_scope_run *run, double from, double level, bool below) {
    for (size_t i = 0; i < run->n; i++)
        if (run->time[i] >= from && (run->traces[0].value[i] < level) == below)
            return run->time[i];
    return NAN;
}

/* The engine module works from 6.5 V and comes back 0.1 V above that. A corroded post of 10 mohm
 * takes 1.2 V of a warm crank and 2.3 V of a cold one, in which the oil is stiff: only then does
 * the feed dip under 6.5 V, and it is back before the engine has turned once. */
static void a_module_resets_in_the_dip(void **state) {
    (void)state;
    static const char *const traces[] = {"A1.15 A1/31", NULL};
    static const char corroded[] = "BAT.+:resistance=10mohm";
    desk d;
    open_starting(&d);
    for (int k = 0; k < 4; k++) {
        const bool cold = k % 2 != 0, bad = k > 1;
        bp_scope_run *run = waves_run(&d, cold ? "cranking-cold" : "cranking",
                                      bad ? corroded : NULL, -0.05, 1.2, 1, traces);
        const double down = when(run, "A1", "resets", 0), up = when(run, "A1", "runs", 0);
        assert_true(isnan(down) == !(cold && bad));
        if (cold && bad) {
            desk_near(down, passes(run, 0, 6.5, true), 1e-3, "feed under 6.5 V");
            desk_near(up, passes(run, down, 6.6, false), 5e-3, "feed over 6.6 V again");
            assert_true(up - down < 0.1);
            assert_string_equal(waves_says(run, "A1"), "resets");
        } else {
            assert_true(waves_feature(run, 0, "lowest") > 6.5);
            assert_string_equal(waves_says(run, "A1"), "");
        }
        bp_scope_run_free(&run);
    }
    desk_clear(&d);
}

/* An old battery leaves the module without supply as long as the starter is on. */
static void a_module_stays_down(void **state) {
    (void)state;
    static const char *const traces[] = {"A1.15 A1/31", NULL};
    desk d;
    open_starting(&d);
    bp_scope_run *run = waves_run(&d, "cranking-cold", "BAT:charge=20%", -0.05, 1.2, 1, traces);
    assert_true(when(run, "A1", "resets", 0) > 0);
    assert_true(isnan(when(run, "A1", "runs", 0)));
    assert_string_equal(waves_says(run, "A1"), "dead");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* An ignition switch that takes 15 away while it cranks lets the main relay go after its release
 * time (3 ms: data-sheet typical), and the module behind it loses its feed with it. */
static void a_relay_without_its_feed_drops_out(void **state) {
    (void)state;
    static const char *const traces[] = {"A1.15 A1/31", NULL};
    desk d;
    open_starting(&d);
    bp_scope_run *run = waves_run(&d, "cranking", "S1:dead-in-crank-15", -0.05, 1.2, 1, traces);
    const double out = when(run, "K1", "out", 0);
    desk_near(out, 3e-3, 1e-3, "release time");
    desk_near(when(run, "A1", "resets", 0), out, 1e-3, "the module with it");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* A relay on the battery's terminals, beside a starter. The circuit is its own to choose the
 * drop-out: between the dips of a warm and a cold engine. */
static void set_relay(desk *d) {
    desk_set(d,
             "BAT: {kind: battery, charge: 60 %, capacity: 60 Ah, cca: 420 A}, "
             "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}, "
             "M: {kind: starter}, "
             "K: {kind: relay, coil: 85 ohm, pull-in: 8.5 V, drop-out: 8.2 V}, "
             "L: {kind: lamp, power: 5 W}",
             "W1: {from: BAT.+, to: M.30, size: 35 mm2, length: 1 m}, "
             "W2: {from: M.31, to: BAT.-, size: 35 mm2, length: 1 m}, W3: {from: BAT.+, to: S.1}, "
             "W4: {from: S.2, to: M.50}, W5: {from: BAT.+, to: K.86}, W6: {from: K.85, to: "
             "BAT.-}, W7: {from: BAT.+, to: K.30}, W8: {from: K.87, to: L.1}, "
             "W9: {from: L.2, to: BAT.-}",
             "key-on: {}, warm: {S: pressed, engine: 80 degC, from: key-on}, "
             "cold: {S: pressed, engine: -10 degC, ambient: 20 degC, from: key-on}");
}

/* Held by more than its drop-out it stays in; under it, it lets go after its release time, and
 * pulls in again when the recovering battery reaches its pull-in. */
static void a_relay_drops_out_in_a_deep_dip_only(void **state) {
    (void)state;
    static const char *const traces[] = {"K.86 K.85", NULL};
    desk d;
    set_relay(&d);
    bp_scope_run *run = waves_run(&d, "warm", NULL, -0.05, 1, 1, traces);
    assert_true(waves_feature(run, 0, "lowest") > 8.2);
    assert_true(isnan(when(run, "K", "out", -1)));
    bp_scope_run_free(&run);
    run = waves_run(&d, "cold", NULL, -0.05, 1, 1, traces);
    const double out = when(run, "K", "out", 0), in = when(run, "K", "in", 0);
    assert_true(waves_feature(run, 0, "lowest") < 8.2);
    desk_near(out, passes(run, 0, 8.2, true) + 3e-3, 2e-3, "drop-out, then the release time");
    desk_near(in, passes(run, out, 8.5, false) + 7e-3, 5e-3, "pull-in, then the operate time");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

static double amps_of(desk *d, const char *state, const char *faults) {
    static const char *const traces[] = {"clamp W1", NULL};
    bp_scope_run *run = waves_run(d, state, faults, 0.4, 1.2, 1, traces);
    const double amps = waves_feature(run, 0, "mean");
    bp_scope_run_free(&run);
    return amps;
}

/* What the cables drop on either side while cranking, V. */
typedef struct drops {
    double feed, ground;
} drops;

static drops drops_of(desk *d, const char *faults) {
    return (drops){desk_volts(d, "cranking", faults, "BAT/+", "M1/30"),
                   desk_volts(d, "cranking", faults, "M1/31", "BAT/-")};
}

/* US Army TM 10-3930-671-24: a starter cable drops at most 0.2 V per 100 A. Common practice while
 * cranking: 0.5 V on the feed side, 0.3 V on the ground side, taken at 100 to 200 A. */
static void good_cables_drop_little(void **state) {
    (void)state;
    desk d;
    open_starting(&d);
    const double amps = amps_of(&d, "cranking", NULL);
    assert_true(amps > 100 && amps < 200);
    assert_true(desk_volts(&d, "cranking", NULL, "BAT.+", "M1.30") < 0.2 * amps / 100);
    assert_true(desk_volts(&d, "cranking", NULL, "M1/31", "BAT.-") < 0.2 * amps / 100);
    const drops good = drops_of(&d, NULL);
    assert_true(good.feed < 0.5 && good.ground < 0.3);
    desk_clear(&d);
}

/* A few milliohms that an ohmmeter cannot show exceed that limit on their side, and on the other
 * one nothing does; the drop is what the current makes of them. */
static void a_bad_joint_shows_on_its_side(void **state) {
    (void)state;
    static const struct {
        const char *fault;
        bool feed;
    } row[] = {{"BAT.+:resistance=5mohm", true},
               {"M1.30:resistance=5mohm", true},
               {"BAT.-:resistance=5mohm", false},
               {"M1.31:resistance=5mohm", false}};
    desk d;
    open_starting(&d);
    const drops good = drops_of(&d, NULL);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const char *f = row[i].fault;
        const drops bad = drops_of(&d, f);
        const double amps = amps_of(&d, "cranking", f);
        assert_true(amps > 100 && amps < 200);
        assert_true(row[i].feed ? bad.feed > 0.5 && bad.ground < 0.3
                                : bad.feed < 0.5 && bad.ground > 0.3);
        const double more = row[i].feed ? bad.feed - good.feed : bad.ground - good.ground;
        desk_near(more, 5e-3 * amps, 0.15 * 5e-3 * amps, "Ohm's law");
    }
    desk_clear(&d);
}

/* A bad cable or ground of a starter, without a value given: the drop on its side is over what
 * common practice lets pass (0.5 V, 0.3 V), on the other side it is not, and it cranks on. The
 * engine's strap takes over a part of what the battery's cable to the engine does not. */
static void a_typical_bad_cable_is_complained_of(void **state) {
    (void)state;
    static const struct {
        const char *fault;
        bool feed;
    } row[] = {{"W1:resistance", true},
               {"W2:resistance", false},
               {"G1:resistance", false},
               {"G2:resistance", false}};
    desk d;
    open_starting(&d);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const char *f = row[i].fault;
        const drops bad = drops_of(&d, f);
        assert_true(row[i].feed ? bad.feed > 0.5 && bad.feed < 1.5 : bad.feed < 0.5);
        assert_true(row[i].feed ? bad.ground < 0.3 : bad.ground > 0.3 && bad.ground < 1.5);
        assert_true(amps_of(&d, "cranking", f) > 100);
    }
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_module_resets_in_the_dip),
        cmocka_unit_test(a_module_stays_down),
        cmocka_unit_test(a_relay_without_its_feed_drops_out),
        cmocka_unit_test(a_relay_drops_out_in_a_deep_dip_only),
        cmocka_unit_test(good_cables_drop_little),
        cmocka_unit_test(a_bad_joint_shows_on_its_side),
        cmocka_unit_test(a_typical_bad_cable_is_complained_of),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
