/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A clamp burdens nothing: where an ammeter in line changes what it measures, it shows what flows.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "sim/instrument.h"
#include "tests/sim/asked.h"

/* Current in a wire of the state "on"; wire NULL is a mistake. */
static double around(desk *d, const char *wire, const char *faults) {
    bp_question q = BP_QUESTION_INIT;
    q.state = "on";
    q.instrument = BP_AMPS_CLAMP;
    q.at = wire;
    q.faults = faults;
    bp_answer *a = asked(d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_int_equal(a->states[0].n_readings, 1);
    assert_string_equal(r->at, wire);
    assert_int_equal(r->status, BP_READING_OK);
    const double amps = r->value;
    bp_answer_free(&a);
    return amps;
}

/* T. R. Kuphaldt, Lessons in Electric Circuits, vol. I, "Ammeter impact": 2 V; 3 ohm parallel 1.5
 * ohm: 666.7 mA and 1.333 A as long as nothing is put in line. */
static void it_has_no_burden(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        "B: {kind: source, emf: 2 V}, R1: {kind: resistor, resistance: 3 ohm}, R2: {kind: "
        "resistor, resistance: 1.5 ohm}",
        "W1: {from: B.+, to: R1.1}, W2: {from: R1.1, to: R2.1}, W3: {from: R1.2, to: B.-}, W4: "
        "{from: R2.2, to: R1.2}",
        NULL);
    /* An ideal wire counts as 1 mohm while a clamp is around it: one part in a thousand. */
    desk_near(around(&d, "W1", NULL), 2.0, 2.5e-3, "Kuphaldt, both branches");
    desk_near(around(&d, "W2", NULL), 1.3333, 2e-3, "Kuphaldt, second branch");
    desk_near(around(&d, "W4", NULL), 1.3333, 2e-3, "the same on its way back");
    desk_clear(&d);
}

/* Same volume, "Branch current method": 28 V behind 4 ohm and 7 V behind 1 ohm onto 2 ohm: 5, 1 and
 * 4 A, the 7 V source being charged. The sign is that of the way from `from` to `to`. */
static void its_arrow_tells_the_way(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B1: {kind: source, emf: 28 V}, B2: {kind: source, emf: 7 V}, R1: {kind: resistor, "
             "resistance: 4 ohm}, R2: {kind: resistor, resistance: 2 ohm}, R3: {kind: resistor, "
             "resistance: 1 ohm}",
             "W1: {from: B1.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B1.-}, "
             "W4: {from: B2.+, to: R3.1}, W5: {from: R3.2, to: R2.1}, W6: {from: B2.-, to: B1.-}",
             NULL);
    desk_near(around(&d, "W1", NULL), 5, 5e-3, "Kuphaldt");
    desk_near(around(&d, "W3", NULL), 4, 4e-3, "Kuphaldt");
    desk_near(around(&d, "W4", NULL), -1, 5e-3, "Kuphaldt: into the + of the 7 V source");
    /* All wires in one question: the same, and at each node the currents cancel. */
    bp_question q = BP_QUESTION_INIT;
    q.instrument = BP_AMPS_CLAMP;
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = a->states[0].readings;
    assert_int_equal(a->states[0].n_readings, 6);
    assert_string_equal(r[3].at, "W4");
    assert_string_equal(r[3].red, "B2.+");
    assert_string_equal(r[3].black, "R3.1");
    desk_near(r[0].value, 5, 1e-2, "Kuphaldt");
    desk_near(r[1].value + r[4].value, r[2].value, 1e-6, "Kirchhoff");
    assert_string_equal(r[0].display, "5.00 A");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* 10 m of 1.5 mm2 have 114.9 mohm (1.7241e-8 ohm m, NBS Handbook 100). A chafed middle shorts half
 * of it: 12 V over 57.5 mohm and the short's 5 mohm come out of the battery, and the 0.96 V over
 * the short are left for the far end, where the clamp does not sit. */
static void it_sits_at_the_wires_beginning(void **state) {
    (void)state;
    desk d;
    desk_set(&d, "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: 12 ohm}",
             "W1: {from: B.+, to: R.1, size: 1.5 mm2, length: 10 m}, W2: {from: R.2, to: B.-}",
             NULL);
    desk_near(around(&d, "W1", NULL), 12 / 12.1149, 1e-3, "good");
    desk_near(around(&d, "W1", "W1:short-to-ground=5mohm"), 12 / 0.06247, 0.5, "chafed through");
    desk_near(around(&d, "W2", "W1:short-to-ground=5mohm"), 0.0797, 1e-3, "what is left");
    desk_near(around(&d, "W1", "W1:open"), 0, 1e-6, "open");
    desk_clear(&d);
}

/* 0.05 A hide in the zero's drift, 180 A need the upper range, 700 A are too much. */
static void its_display_and_its_zero(void **state) {
    (void)state;
    const bp_instrument_def *clamp = bp_instruments[BP_AMPS_CLAMP];
    char text[24];
    clamp->show(0.053, text, sizeof text);
    assert_string_equal(text, "0.05 A");
    clamp->show(-181.26, text, sizeof text);
    assert_string_equal(text, "-181.3 A");
    desk_near(clamp->accuracy(0), 0.15, 1e-9, "0.1 A of drift and 5 counts of 10 mA");
    desk_near(clamp->accuracy(100), 2.6, 1e-9, "2 %, 5 counts of 0.1 A and 0.1 A");
    desk d;
    desk_set(&d, "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: 16 mohm}",
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: B.-}", NULL);
    bp_question q = BP_QUESTION_INIT;
    q.instrument = BP_AMPS_CLAMP;
    q.at = "W1";
    bp_answer *a = asked(&d, &q);
    assert_int_equal(a->states[0].readings[0].status, BP_READING_OVER);
    assert_string_equal(a->states[0].readings[0].display, "OL");
    bp_answer_free(&a);
    desk_clear(&d);
}

static void it_is_around_a_wire_and_nowhere_else(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, F: {kind: fuse, rating: 10 A}, R: {kind: resistor, "
             "resistance: 12 ohm}",
             "Wa: {from: B.+, to: F.1}, Wb: {from: F.2, to: R.1}, Wc: {from: R.2, to: B.-}", NULL);
    bp_question q = BP_QUESTION_INIT;
    q.instrument = BP_AMPS_CLAMP;
    q.at = "F";
    assert_string_equal(refused(&d, &q),
                        "F is a fuse: a clamp goes around a wire, such as one that ends there");
    q.at = "Wx";
    assert_non_null(strstr(refused(&d, &q), "there is no wire Wx"));
    const bp_pair pair = {"R.1", NULL};
    q = reading_of("on", BP_AMPS_CLAMP, &pair);
    assert_non_null(strstr(refused(&d, &q), "a clamp has no leads"));
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_has_no_burden),
        cmocka_unit_test(its_arrow_tells_the_way),
        cmocka_unit_test(it_sits_at_the_wires_beginning),
        cmocka_unit_test(its_display_and_its_zero),
        cmocka_unit_test(it_is_around_a_wire_and_nowhere_else),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
