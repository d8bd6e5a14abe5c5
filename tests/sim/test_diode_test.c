/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The meter's diode test: 3 V behind 2.4 kohm and two leads of 0.1 ohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "tests/sim/asked.h"

#define FEED                                                                                       \
    "B: {kind: source, emf: 12 V}, S: {kind: switch, positions: {released: [], pressed: [[1, "     \
    "2]]}}, "

/* The diode hangs behind an open switch. */
static void set(desk *d, const char *parts, const char *wires) {
    char all[400], way[400];
    snprintf(all, sizeof all, FEED "%s", parts);
    snprintf(way, sizeof way, "W1: {from: B.+, to: S.1}, %s", wires);
    desk_set(d, all, way, "on: {}, pressed: {S: pressed}");
}

#define DIODE "D: {kind: diode}, R: {kind: resistor, resistance: 100 ohm}"
#define DIODE_WIRES "W2: {from: S.2, to: D.A}, W3: {from: D.K, to: R.1}, W4: {from: R.2, to: B.-}"

/* Shockley's law of a silicon rectifier, 6.6 nA and 1.85 times 25.85 mV: at the current that 3 V
 * less the junction drive through 2400.25 ohm (the meter, its leads and 50 mohm of the diode),
 * found by repeated insertion: 0.57 V at 1.01 mA. Tables of silicon rectifiers give 0.5 to 0.6 V at
 * 1 mA: from memory. The other way round, and open, 3 V stand at the meter: OL. */
static void a_junction_drops_its_volts_one_way(void **state) {
    (void)state;
    double v = 0.6;
    for (int i = 0; i < 50; i++)
        v = 1.85 * 0.02585 * log((3 - v) / 2400.25 / 6.6e-9 + 1);
    assert_true(v > 0.5 && v < 0.6);
    desk d;
    set(&d, DIODE, DIODE_WIRES);
    desk_near(read_one(&d, BP_DIODE_TEST, "D.A", "D.K").value, v, 2e-3, "Shockley");
    assert_string_equal(read_one(&d, BP_DIODE_TEST, "D.K", "D.A").display, "OL");
    const bp_pair pair = {"D.A", "D.K"};
    static const struct {
        const char *fault, *display;
    } row[] = {{"D:open", "OL"}, {"D:reversed", "OL"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        bp_question q = reading_of("on", BP_DIODE_TEST, &pair);
        q.faults = row[i].fault;
        bp_answer *a = asked(&d, &q);
        assert_string_equal(a->states[0].readings[0].display, row[i].display);
        assert_true(isnan(a->states[0].readings[0].value));
        bp_answer_free(&a);
    }
    desk_clear(&d);
}

/* What lies beside a diode counts: a coil of 85 ohm takes 3 V * 85.2 / 2485.2 = 103 mV whichever
 * way round, which is why a diode inside a relay cannot be tested like this; an open coil shows it.
 */
static void a_coil_beside_it_hides_a_diode(void **state) {
    (void)state;
    desk d;
    set(&d, "K: {kind: relay, suppression: {diode: cathode-86}}",
        "W2: {from: S.2, to: K.86}, W3: {from: K.85, to: B.-}, W4: {from: B.+, to: K.30}, W5: "
        "{from: K.87, to: B.-}");
    desk_near(read_one(&d, BP_DIODE_TEST, "K.86", "K.85").value, 3 * 85.0 / 2485.2, 2e-3, "coil");
    desk_near(read_one(&d, BP_DIODE_TEST, "K.85", "K.86").value, 3 * 85.0 / 2485.2, 2e-3, "coil");
    const bp_pair pair = {"K.85", "K.86"};
    bp_question q = reading_of("on", BP_DIODE_TEST, &pair);
    q.faults = "K:coil-open";
    bp_answer *a = asked(&d, &q);
    desk_near(a->states[0].readings[0].value, 0.57, 5e-3, "the diode alone");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* Pressed, the circuit is live: 12 V stand over diode and resistor, 0.8 V over the diode. */
static void a_live_circuit_gives_no_result(void **state) {
    (void)state;
    desk d;
    set(&d, DIODE, DIODE_WIRES);
    const bp_pair pair = {"D.A", "D.K"};
    bp_question q = reading_of("pressed", BP_DIODE_TEST, &pair);
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_int_equal(r->status, BP_READING_NONE);
    assert_non_null(
        strstr(r->why, "already stands between the leads: a diode test needs a dead circuit"));
    bp_answer_free(&a);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_junction_drops_its_volts_one_way),
        cmocka_unit_test(a_coil_beside_it_hides_a_diode),
        cmocka_unit_test(a_live_circuit_gives_no_result),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
