/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Instruments used wrongly answer as in life: no number that nobody would see, and the reason.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "tests/sim/asked.h"

/* A battery, a fused lamp on a switch, and a module's 5 V for a sensor of 1 kohm. */
static void set(desk *d) {
    desk_set(
        d,
        "BAT: {kind: battery, resistance: 10 mohm}, F: {kind: fuse, rating: 10 A}, S: {kind: "
        "switch, positions: "
        "{released: [], pressed: [[1, 2]]}}, L: {kind: lamp, power: 21 W}, A: {kind: regulator, "
        "limit: 50 mA}, R: {kind: resistor, resistance: 1 kohm}",
        "W1: {from: BAT.+, to: F.1}, W2: {from: F.2, to: S.1}, W3: {from: S.2, to: L.1}, W4: "
        "{from: "
        "L.2, to: BAT.-}, W5: {from: F.2, to: A.15}, W6: {from: A.31, to: BAT.-}, W7: {from: "
        "A.out, to: R.1}, W8: {from: R.2, to: BAT.-}",
        "on: {}, pressed: {S: pressed}");
}

/* The reason why there is no result; the answer goes to *answer. */
static const char *none(desk *d, const char *state, bp_instrument instrument, const char *red,
                        const char *black, bp_answer **answer) {
    const bp_pair pair = {red, black};
    const bp_question q = reading_of(state, instrument, &pair);
    *answer = asked(d, &q);
    const bp_reading *r = &(*answer)->states[0].readings[0];
    assert_int_equal(r->status, BP_READING_NONE);
    assert_true(isnan(r->value));
    assert_string_equal(r->display, "--");
    assert_non_null(r->why);
    return r->why;
}

/* Between the posts there are its 10 mohm, stated, two clamps of 0.3 mohm and the meter's 30
 * mohm: 12.5 V drive 308 A through a fuse of 10 A. No fuse of the vehicle is in that way: none
 * blows. */
static void amps_across_a_battery_blow_the_meters_fuse(void **state) {
    (void)state;
    desk d;
    bp_answer *a;
    set(&d);
    const char *why = none(&d, "on", BP_AMPS, "BAT.+", "BAT.-", &a);
    desk_near(strtod(why, NULL), 12.5 / 0.0406, 15, "Ohm's law");
    assert_non_null(strstr(why, " A would flow: the meter's 10 A fuse blows"));
    assert_int_equal(a->states[0].n_blown, 0);
    desk_near(a->states[0].supply_volts, 12.5, 0.15,
              "the fuse parts the meter from the battery at once");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* In the place of a fuse, with a lamp of 150 W behind it: the meter's fuse blows, and the circuit
 * is dead as without any fuse. */
static void a_blown_meter_leaves_an_open_circuit(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, F: {kind: fuse, rating: 20 A}, L: {kind: lamp, power: "
             "150 W}",
             "W1: {from: B.+, to: F.1}, W2: {from: F.2, to: L.1}, W3: {from: L.2, to: B.-}",
             "on: {}");
    bp_question q = BP_QUESTION_INIT;
    q.instrument = BP_AMPS;
    q.at = "F";
    bp_answer *a = asked(&d, &q);
    assert_int_equal(a->states[0].readings[0].status, BP_READING_NONE);
    desk_near(strtod(a->states[0].readings[0].why, NULL), 12.5, 1, "150 W at 12 V");
    assert_string_equal(a->states[0].notices[0].part, "L");
    assert_string_equal(a->states[0].notices[0].says, "off");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* In parallel with the lamp an ammeter is a short behind the vehicle's fuse: hundreds of amperes
 * again, and the smaller of the two fuses, or both, go. */
static void amps_across_a_load_are_a_short(void **state) {
    (void)state;
    desk d;
    bp_answer *a;
    set(&d);
    const bp_pair pair = {"L.1", "L.2"};
    const bp_question q = reading_of("pressed", BP_AMPS, &pair);
    a = asked(&d, &q);
    assert_int_equal(a->states[0].n_blown, 1);
    assert_string_equal(a->states[0].blown[0], "F");
    bp_answer_free(&a);
    desk_clear(&d);
}

static void ohms_and_diode_test_need_a_dead_circuit(void **state) {
    (void)state;
    desk d;
    bp_answer *a;
    set(&d);
    const char *why = none(&d, "pressed", BP_OHMS, "L.1", "L.2", &a);
    assert_non_null(
        strstr(why, "V already stands between the leads: an ohmmeter needs a dead circuit"));
    bp_answer_free(&a);
    why = none(&d, "pressed", BP_DIODE_TEST, "L.1", "L.2", &a);
    assert_non_null(
        strstr(why, "V already stands between the leads: a diode test needs a dead circuit"));
    bp_answer_free(&a);
    /* Switched off it is dead: the cold filament, a tenth of 12 * 12 / 21 ohm, and 0.2 ohm of
     * leads. */
    desk_near(read_one(&d, BP_OHMS, "L.1", "L.2").value, 144 / 21.0 / 10 + 0.2, 0.05, "cold lamp");
    desk_clear(&d);
}

/* Twelve volts are far beyond the millivolt range: the display says so. */
static void millivolts_on_a_feed_show_over(void **state) {
    (void)state;
    desk d;
    set(&d);
    assert_string_equal(read_one(&d, BP_MILLIVOLTS, "F.2", NULL).display, "OL");
    desk_clear(&d);
}

/* A bulb on the 5 V: 50 mA are a fifth of its 0.25 A, and its current goes with the 0.55th power of
 * its voltage (Fink and Beaty), so 12 * 0.2^(1 / 0.55) = 0.64 V are left of the reference, which
 * every sensor on it loses. The reading is "off", as if there were nothing. */
static void a_bulb_takes_the_reference_away(void **state) {
    (void)state;
    desk d;
    set(&d);
    const bp_pair pair = {"R.1", NULL};
    const bp_question q = reading_of("on", BP_TEST_LAMP, &pair);
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_string_equal(r->display, "off");
    assert_non_null(strstr(r->why, "no place for a bulb if it is a reference or a signal"));
    const char *left = strstr(r->why, "now ");
    assert_non_null(left);
    desk_near(strtod(left + 4, NULL), 12 * pow(0.05 / 0.25, 1 / 0.55), 0.05, "Fink and Beaty");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* With the battery off nothing of the circuit hangs on its post: there an ohmmeter would show OL
 * everywhere. So the black lead is on the clamp, unless it is told to be on the post: 0.2 ohm of
 * leads and the lamp's plug of 2 mohm. */
static void with_the_battery_off_black_is_on_its_clamp(void **state) {
    (void)state;
    desk d;
    set(&d);
    static const char *const off[] = {"disconnect BAT"};
    static const struct {
        const char *black, *display;
    } row[] = {{NULL, "0.2 Ω"}, {"BAT.-", "0.2 Ω"}, {"BAT/-", "OL"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const bp_pair pair = {"L/2", row[i].black};
        bp_question q = reading_of("pressed", BP_OHMS, &pair);
        q.after = off;
        q.n_after = 1;
        bp_answer *a = asked(&d, &q);
        assert_string_equal(a->states[0].readings[0].display, row[i].display);
        bp_answer_free(&a);
    }
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(amps_across_a_battery_blow_the_meters_fuse),
        cmocka_unit_test(a_blown_meter_leaves_an_open_circuit),
        cmocka_unit_test(amps_across_a_load_are_a_short),
        cmocka_unit_test(ohms_and_diode_test_need_a_dead_circuit),
        cmocka_unit_test(millivolts_on_a_feed_show_over),
        cmocka_unit_test(a_bulb_takes_the_reference_away),
        cmocka_unit_test(with_the_battery_off_black_is_on_its_clamp),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
