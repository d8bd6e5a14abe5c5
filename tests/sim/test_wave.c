/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Runs over time against closed forms and worked examples.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/lab.h"
#include "tests/sim/waves.h"

#define SWITCHED "released: {}, pressed: {S: pressed, from: released}"
#define SWITCH "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}"

/* T. R. Kuphaldt, Lessons in Electric Circuits I, "RC and L/R time constants": 15 V, 1 ohm, 1 H,
 * 14.547 A after 3.5 s. Here with 100 ohm and 100 H, so that contacts of milliohms do not count:
 * the same time constant, a hundredth of the current. */
static void an_inductor_charges(void **state) {
    (void)state;
    static const char *const traces[] = {"clamp W2", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 15 V}, " SWITCH ", "
             "L: {kind: coil, resistance: 100 ohm, inductance: 100 H}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: L.1}, W3: {from: L.2, to: V.-}",
             SWITCHED);
    bp_scope_run *run = waves_run(&d, "pressed", NULL, -1, 5, 1, traces);
    desk_near(bp_scope_value(run, 0, 3.5), 0.14547, 0.0002, "Kuphaldt, L/R at 3.5 s");
    desk_near(bp_scope_value(run, 0, -0.5), 0, 1e-6, "before the switch is pressed");
    for (double t = 0.25; t < 5; t += 0.25)
        desk_near(bp_scope_value(run, 0, t), 0.15 * (1 - exp(-t)), 0.0003, "V/R (1 - exp(-t R/L))");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* The same chapter: 15 V, 10 kohm, 100 uF: 14.989 V and 1.065 uA after 7.25 s. Here with 10 ohm and
 * 100 mF, so that a probe of 10 Mohm does not count. */
static void a_capacitor_charges(void **state) {
    (void)state;
    static const char *const traces[] = {"C.1", "R.1 R.2", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 15 V}, " SWITCH ", R: {kind: resistor, resistance: 10 ohm}, "
             "C: {kind: capacitor, capacitance: 100 mF}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: C.1}, "
             "W4: {from: C.2, to: V.-}",
             SWITCHED);
    bp_scope_run *run = waves_run(&d, "pressed", NULL, 0, 7.25, 1, traces);
    const double volts = bp_scope_value(run, 0, 7.25), drop = bp_scope_value(run, 1, 7.25);
    desk_near(volts, 14.989, 0.0015, "Kuphaldt, RC at 7.25 s");
    desk_near(drop / 10, 1.065e-3, 2e-5, "Kuphaldt, RC current at 7.25 s");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* OpenStax, University Physics 2, chapter 10: a wiper delay of 10 mF on 12 V trips at 10 V after
 * 10 s through 558.11 ohm. */
static void a_delay_trips(void **state) {
    (void)state;
    static const char *const traces[] = {"C.1", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 12 V}, " SWITCH ", "
             "R: {kind: resistor, resistance: 558.11 ohm}, "
             "C: {kind: capacitor, capacitance: 10 mF}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: C.1}, "
             "W4: {from: C.2, to: V.-}",
             SWITCHED);
    bp_scope_run *run = waves_run(&d, "pressed", NULL, 0, 12, 1, traces);
    desk_near(bp_scope_value(run, 0, 10), 10, 0.005, "OpenStax, wiper delay");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* Charge that flows in is the charge that is there, and of the energy that a source gives to a
 * capacitor through any resistor half is left. */
static void charge_and_energy_are_kept(void **state) {
    (void)state;
    static const char *const traces[] = {"clamp W2", "C.1", "R.1 R.2", "V.+", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 12 V}, " SWITCH ", R: {kind: resistor, resistance: 5 ohm}, "
             "C: {kind: capacitor, capacitance: 1 mF}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: C.1}, "
             "W4: {from: C.2, to: V.-}",
             SWITCHED);
    bp_scope_run *run = waves_run(&d, "pressed", NULL, 0, 0.06, 1, traces);
    desk_near(waves_integral(run, 0), 12e-3, 12e-5, "charge");
    desk_near(waves_product(run, 0, 3), 0.144, 0.00144, "energy of the source, C V^2");
    desk_near(waves_product(run, 0, 2), 0.072, 0.00072, "lost in the resistor, C V^2 / 2");
    desk_near(waves_product(run, 0, 1), 0.072, 0.00072, "left in the capacitor");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* A coil that is let go rings with a capacitor across it: 1 / (2 pi sqrt(LC)), and the first swing
 * of the voltage is the current times sqrt(L/C), less what the copper takes and the loss across the
 * field, a thousand times its resistance. */
static void a_coil_rings(void **state) {
    (void)state;
    static const char *const traces[] = {"L.1 L.2", "clamp W2", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 12 V}, "
             "S: {kind: switch, positions: {pressed: [[1, 2]], released: []}}, "
             "L: {kind: coil, resistance: 12 ohm, inductance: 500 mH}, "
             "C: {kind: capacitor, capacitance: 2 uF}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: L.1}, W3: {from: L.2, to: V.-}, "
             "W4: {from: C.1, to: L.1}, W5: {from: C.2, to: V.-}",
             "pressed: {}, released: {S: released, from: pressed}");
    bp_scope_run *run = waves_run(&d, "released", NULL, 0, 0.03, 1, traces);
    const double omega = 1 / sqrt(0.5 * 2e-6), decay = 12 / (2 * 0.5) + 1 / (2 * 12e3 * 2e-6);
    desk_near(waves_feature(run, 0, "frequency"), omega / (2 * M_PI), 0.005 * omega / (2 * M_PI),
              "resonance");
    const double first = sqrt(0.5 / 2e-6) * exp(-decay * M_PI / 2 / omega);
    desk_near(-waves_feature(run, 0, "lowest"), first, 0.01 * first, "first swing, I sqrt(L/C)");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* What a run shows may not depend on the steps it takes. */
static void half_the_steps_same_features(void **state) {
    (void)state;
    static const char *const traces[] = {"L.1 L.2", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 12 V}, "
             "S: {kind: switch, positions: {pressed: [[1, 2]], released: []}}, "
             "L: {kind: coil, resistance: 12 ohm, inductance: 500 mH}, "
             "C: {kind: capacitor, capacitance: 2 uF}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: L.1}, W3: {from: L.2, to: V.-}, "
             "W4: {from: C.1, to: L.1}, W5: {from: C.2, to: V.-}",
             "pressed: {}, released: {S: released, from: pressed}");
    bp_scope_run *run = waves_run(&d, "released", NULL, 0, 0.03, 1, traces);
    bp_scope_run *fine = waves_run(&d, "released", NULL, 0, 0.03, 2, traces);
    assert_true(fine->n > 1.5 * (double)run->n);
    static const char *const ids[] = {"highest", "lowest", "frequency", "rms"};
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++)
        desk_near(waves_feature(run, 0, ids[i]), waves_feature(fine, 0, ids[i]),
                  0.01 * fabs(waves_feature(fine, 0, ids[i])), ids[i]);
    bp_scope_run_free(&run);
    bp_scope_run_free(&fine);
    desk_clear(&d);
}

/* A relay takes its milliseconds: it pulls in after its operate time and not before. */
static void a_relay_takes_its_time(void **state) {
    (void)state;
    static const char *const traces[] = {"R.1", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 12 V}, " SWITCH ", K: {kind: relay}, "
             "R: {kind: resistor, resistance: 12 ohm}",
             "W1: {from: V.+, to: K.30}, W2: {from: V.+, to: S.1}, W3: {from: S.2, to: K.86}, "
             "W4: {from: K.85, to: V.-}, W5: {from: K.87, to: R.1}, W6: {from: R.2, to: V.-}",
             SWITCHED);
    bp_scope_run *run = waves_run(&d, "pressed", NULL, 0, 0.02, 1, traces);
    size_t in = 0;
    while (in < run->n_events && strcmp(run->events[in].id, "in") != 0)
        in++;
    assert_true(in < run->n_events);
    assert_string_equal(run->events[in].part, "K");
    desk_near(run->events[in].time, 0.007, 0.001, "operate time, data-sheet typical, from memory");
    desk_near(bp_scope_value(run, 0, run->events[in].time - 1e-4), 0, 0.01, "not before");
    desk_near(bp_scope_value(run, 0, run->events[in].time + 1e-4), 12, 0.1, "and then");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* 10 A in 100 H that are cut off cannot go anywhere: what explodes has no result. So has a run
 * whose process dies or talks nonsense. */
static void what_fails_has_no_result(void **state) {
    (void)state;
    static const char *const traces[] = {"L.1", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 1000 V}, "
             "S: {kind: switch, positions: {pressed: [[1, 2]], released: []}}, "
             "L: {kind: coil, resistance: 1000 ohm, inductance: 100 H}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: L.1}, W3: {from: L.2, to: V.-}",
             "pressed: {}, released: {S: released, from: pressed}");
    char *why = waves_why(&d, "released", NULL, 0.01, traces);
    assert_non_null(strstr(why, "no result"));
    free(why);
    static const bp_mishap mishaps[] = {BP_MISHAP_DIES, BP_MISHAP_BABBLES};
    for (size_t i = 0; i < 2; i++) {
        bp_lab_plan_mishap(d.lab, mishaps[i]);
        free(waves_why(&d, "pressed", NULL, 0.01, traces));
    }
    bp_scope_run *run = waves_run(&d, "pressed", NULL, 0, 0.01, 1, traces);
    desk_near(bp_scope_value(run, 0, 0.005), 1000, 1, "the next one is answered");
    bp_scope_run_free(&run);
    desk_clear(&d);
}

/* Steady questions after runs are answered as before them. */
static void steady_questions_go_on(void **state) {
    (void)state;
    static const char *const traces[] = {"L.1", NULL};
    desk d;
    desk_set(&d,
             "V: {kind: source, emf: 12 V}, " SWITCH ", "
             "L: {kind: coil, resistance: 12 ohm, inductance: 100 mH}",
             "W1: {from: V.+, to: S.1}, W2: {from: S.2, to: L.1}, W3: {from: L.2, to: V.-}",
             SWITCHED);
    const double before = desk_volts(&d, "pressed", NULL, "L.1", NULL);
    bp_scope_run *run = waves_run(&d, "pressed", NULL, 0, 0.2, 1, traces);
    desk_near(bp_scope_value(run, 0, 0.2), before, 1e-4, "a run ends in the steady state");
    bp_scope_run_free(&run);
    desk_near(desk_volts(&d, "pressed", NULL, "L.1", NULL), before, 1e-9, "asked again");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_inductor_charges),    cmocka_unit_test(a_capacitor_charges),
        cmocka_unit_test(a_delay_trips),          cmocka_unit_test(charge_and_energy_are_kept),
        cmocka_unit_test(a_coil_rings),           cmocka_unit_test(half_the_steps_same_features),
        cmocka_unit_test(a_relay_takes_its_time), cmocka_unit_test(what_fails_has_no_result),
        cmocka_unit_test(steady_questions_go_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
