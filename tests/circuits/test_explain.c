/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A circuit explained in words: what an instructor reads off the drawing by following each line
 * from the battery to the load and back, written beside each circuit.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "circuits/explain.h"
#include "tests/circuits/files.h"

static bp_circuit *loaded(const char *parts, const char *wires) {
    char text[4096];
    bp_circuit *circuit = NULL;
    bp_report *report = bp_report_new();
    const int n =
        snprintf(text, sizeof text,
                 "backprobe: 1\nid: test\ntitle: Test\nparts: {%s}\nwires: {%s}\n", parts, wires);
    assert_in_range(n, 1, sizeof text - 1);
    if (bp_load_text(text, (size_t)n, "test", &circuit, report) != BP_OK)
        fail_msg("%s", files_messages(report));
    bp_report_free(&report);
    return circuit;
}

/* The sentences of all items must be these, in this order. */
static void says(const bp_circuit *circuit, const char *const *want) {
    bp_explanation all;
    bool *named = calloc(circuit->n_parts + 1, sizeof *named);
    assert_int_equal(bp_explain(circuit, &all), BP_OK);
    size_t n = 0;
    for (; want[n]; n++) {
        if (n >= all.n)
            fail_msg("nothing is said where \"%s\" is due", want[n]);
        char *words = bp_explained_words(circuit, &all.item[n], named);
        assert_string_equal(words, want[n]);
        free(words);
    }
    assert_int_equal(all.n, n);
    bp_explanation_clear(&all);
    free(named);
}

/* The button grounds the coil at G3, the contact feeds the horn, which has its ground there too. */
static void a_relay_and_its_load(void **state) {
    (void)state;
    static const char *const want[] = {
        "The coil of K2 is fed from battery positive through F4. Its ground goes through S1 (horn "
        "button, while pressed), to G3 (left inner wing), and over the body and G0 (battery cable "
        "at the body) to battery negative. S1 switches its ground. F4 (15 A) guards it.",
        "H1 (horn) is fed from battery positive through F4, K2 (while pulled in) and C12 pin 1 "
        "(behind grille). Its ground goes to G3, and over the body and G0 to battery negative. K2 "
        "switches its feed. F4 (15 A) guards it.",
        NULL};
    bp_report *report;
    bp_circuit *circuit = files_horn(&report);
    says(circuit, want);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
}

/* A window motor between two change-over relays that rest on ground: either end can be the fed one.
 */
static void a_motor_that_runs_both_ways(void **state) {
    (void)state;
    static const char *const want[] = {
        "M is fed at pin 1 from battery positive through F1 and K1 (while pulled in). Its ground "
        "goes through K2 (while released) to battery negative. K1 switches its feed, K2 its "
        "ground. F1 (25 A) guards it.",
        "M is fed at pin 2 from battery positive through F1 and K2 (while pulled in). Its ground "
        "goes through K1 (while released) to battery negative. K2 switches its feed, K1 its "
        "ground. F1 (25 A) guards it.",
        "The coil of K1 is fed from battery positive through F1 and S (while up). Its ground goes "
        "straight to battery negative. S switches its feed. F1 (25 A) guards it.",
        "The coil of K2 is fed from battery positive through F1 and S (while down). Its ground "
        "goes straight to battery negative. S switches its feed. F1 (25 A) guards it.",
        NULL};
    bp_circuit *circuit = loaded(
        "B: {kind: battery}, F1: {kind: fuse, rating: 25 A}, M: {kind: two-way-motor, current: 6 "
        "A}, "
        "K1: {kind: relay, contacts: change-over}, K2: {kind: relay, contacts: change-over}, "
        "S: {kind: switch, positions: {rest: [], up: [[1, 2]], down: [[1, 3]]}}",
        "W1: {from: B.+, to: F1.1}, W2: {from: F1.2, to: K1.87}, W3: {from: F1.2, to: K2.87}, "
        "W4: {from: K1.30, to: M.1}, W5: {from: K2.30, to: M.2}, W6: {from: K1.87a, to: B.-}, "
        "W7: {from: K2.87a, to: B.-}, W8: {from: F1.2, to: S.1}, W9: {from: S.2, to: K1.86}, "
        "W10: {from: S.3, to: K2.86}, W11: {from: K1.85, to: B.-}, W12: {from: K2.85, to: B.-}");
    says(circuit, want);
    bp_circuit_free(&circuit);
}

/* Two fans, in series with the relay released, each by itself with it pulled in; a resistor that is
 * in the way is no load, one that lies between + and - is. */
static void ways_through_a_contact_that_throws_over(void **state) {
    (void)state;
    static const char *const want[] = {
        "M1 is fed from battery positive directly. Its ground goes through K (while pulled in) to "
        "battery negative. Another way to ground goes through K (while released), R1 and M2 (in "
        "series with it) to battery negative. K switches its ground. No fuse guards it.",
        "M2 is fed from battery positive through M1 (in series with it), K (while released) and "
        "R1. "
        "Its ground goes straight to battery negative. K switches "
        "its feed. No fuse guards it.",
        "The coil of K is fed from battery positive through S (while on). Its ground goes straight "
        "to battery negative. S switches its feed. No fuse guards it.",
        "R2 is fed from battery positive through V. Its ground goes straight to battery negative. "
        "Nothing switches it. No fuse guards it.",
        NULL};
    bp_circuit *circuit = loaded(
        "B: {kind: battery}, M1: {kind: motor, current: 6 A}, M2: {kind: motor, current: 6 A}, "
        "K: {kind: relay, contacts: change-over}, R1: {kind: resistor, resistance: 1 ohm}, "
        "S: {kind: switch, positions: {off: [], on: [[1, 2]]}}, V: {kind: diode}, "
        "R2: {kind: resistor, resistance: 1 kohm}",
        "W1: {from: B.+, to: M1.1}, W2: {from: M1.2, to: K.30}, W3: {from: K.87, to: B.-}, "
        "W4: {from: K.87a, to: R1.1}, W5: {from: R1.2, to: M2.1}, W6: {from: M2.2, to: B.-}, "
        "W7: {from: B.+, to: S.1}, W8: {from: S.2, to: K.86}, W9: {from: K.85, to: B.-}, "
        "W10: {from: B.+, to: V.A}, W11: {from: V.K, to: R2.1}, W12: {from: R2.2, to: B.-}");
    says(circuit, want);
    bp_circuit_free(&circuit);
}

/* An input that a switch grounds; a diode that would have to conduct backwards is no way. */
static void inputs_and_one_way_streets(void **state) {
    (void)state;
    static const char *const want[] = {
        "The input of A1 goes to ground through S (while pressed) to battery negative.",
        "The module of A1 is fed from battery positive directly. Its ground goes straight to "
        "battery negative. Nothing switches it. No fuse guards it.",
        "H is fed from battery positive through P (while on). Its ground goes straight to battery "
        "negative. P switches its feed. No fuse guards it.",
        NULL};
    bp_circuit *circuit = loaded(
        "B: {kind: battery}, A1: {kind: module-input}, "
        "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}, "
        "P: {kind: switch, positions: {off: [], on: [[1, 2]]}}, H: {kind: lamp, power: 5 W}, "
        "V: {kind: diode}",
        "W1: {from: B.+, to: A1.15}, W2: {from: A1.31, to: B.-}, W3: {from: A1.in, to: S.1}, "
        "W4: {from: S.2, to: B.-}, W5: {from: B.+, to: P.1}, W6: {from: P.2, to: H.1}, "
        "W7: {from: H.2, to: B.-}, W8: {from: B.+, to: V.K}, W9: {from: V.A, to: H.1}");
    says(circuit, want);
    bp_circuit_free(&circuit);
}

/* High voltage has no feed of its own: it comes from the coil, over leads and gaps. */
static void a_plug_and_its_coil(void **state) {
    (void)state;
    static const char *const want[] = {
        "The primary of T is fed from battery positive directly. Its ground goes through B (while "
        "closed) to battery negative. B switches its ground. No fuse guards it.",
        "P gets its spark from T through L1 and D. Its ground goes to G (head), and over the "
        "engine "
        "and G1 to battery negative.",
        NULL};
    bp_circuit *circuit = loaded(
        "BAT: {kind: battery}, T: {kind: ignition-coil}, B: {kind: breaker-points}, "
        "L1: {kind: ignition-lead}, D: {kind: distributor}, P: {kind: spark-plug}, "
        "G: {kind: ground, on: engine, label: head}, G1: {kind: ground, on: engine}",
        "W1: {from: BAT.+, to: T.15}, W2: {from: T.1, to: B.1}, W3: {from: B.31, to: BAT.-}, "
        "W4: {from: T.4, to: L1.1}, W5: {from: L1.2, to: D.4}, W6: {from: D.out, to: P.4}, "
        "W7: {from: P.31, to: G}, W8: {from: G1, to: BAT.-}");
    says(circuit, want);
    bp_circuit_free(&circuit);
}

/* A coil before a wheel feeds nothing and is fed by nothing: the input reads it, and its other end
 * is followed to ground. A slider is read, its track is fed and grounded like any load. */
static void inputs_and_their_sensors(void **state) {
    (void)state;
    static const char *const want[] = {
        "The input of A1 reads B1 (crank sensor) through C4 pin 1. The other end of B1 goes "
        "through "
        "C4 pin 2 and A1 to battery negative.",
        "The module of A1 is fed from battery positive directly. Its ground goes straight to "
        "battery negative. Nothing switches it. No fuse guards it.",
        "The input of A2 reads B2 directly.",
        "The module of A2 is fed from battery positive directly. Its ground goes straight to "
        "battery negative. Nothing switches it. No fuse guards it.",
        "B2 is fed from battery positive through U. Its ground goes straight to battery negative. "
        "Nothing switches it. U (5 A) guards it.",
        NULL};
    bp_circuit *circuit = loaded(
        "B: {kind: battery}, A1: {kind: speed-input}, C4: {kind: connector, cavities: "
        "2}, "
        "B1: {kind: reluctance-sensor, label: crank sensor}, A2: {kind: module-input}, "
        "U: {kind: fuse, rating: 5 A}, B2: {kind: potentiometer}",
        "W1: {from: B.+, to: A1.15}, W2: {from: A1.31, to: B.-}, W3: {from: A1.in, to: C4.a1}, "
        "W4: {from: A1.return, to: C4.a2}, W5: {from: C4.b1, to: B1.1}, W6: {from: C4.b2, to: "
        "B1.2}, "
        "W7: {from: B.+, to: A2.15}, W8: {from: A2.31, to: B.-}, W9: {from: A2.in, to: B2.2}, "
        "W10: {from: B.+, to: U.1}, W11: {from: U.2, to: B2.1}, W12: {from: B2.3, to: B.-}");
    says(circuit, want);
    bp_circuit_free(&circuit);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_relay_and_its_load),
        cmocka_unit_test(a_motor_that_runs_both_ways),
        cmocka_unit_test(ways_through_a_contact_that_throws_over),
        cmocka_unit_test(inputs_and_one_way_streets),
        cmocka_unit_test(a_plug_and_its_coil),
        cmocka_unit_test(inputs_and_their_sensors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
