/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Instruments that draw current on purpose: loaded voltmeter, lamp with a bulb, lamp with diodes.
 * What gives way under them says so.
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

/* An open end behind a resistance: 12 V with nothing on it. */
static void set(desk *d, const char *ohm) {
    char parts[300];
    snprintf(parts, sizeof parts, FEED "R: {kind: resistor, resistance: %s}", ohm);
    desk_set(d, parts,
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: S.1}, W3: {from: S.2, to: B.-}", NULL);
}

/* Dividers of the resistance and 3 kohm, or 10 Mohm: a leak of 1 Mohm shows 10.91 V and, loaded, 36
 * mV; what can feed a load hardly moves. */
static void a_ghost_voltage_breaks_down(void **state) {
    (void)state;
    static const struct {
        const char *ohm;
        double light, loaded;
    } row[] = {{"1 Mohm", 12 / 1.1, 12 * 3e3 / 1003e3},
               {"3 kohm", 12 * 10e6 / 10.003e6, 6},
               {"1 ohm", 12, 12 * 3000.0 / 3001}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        set(&d, row[i].ohm);
        desk_near(read_one(&d, BP_VOLTS, "S.1", NULL).value, row[i].light, 1e-3, "10 Mohm");
        desk_near(read_one(&d, BP_VOLTS_LOADED, "S.1", NULL).value, row[i].loaded, 1e-3, "3 kohm");
        desk_clear(&d);
    }
}

/* T. R. Kuphaldt, Lessons in Electric Circuits, vol. I, "Voltmeter impact on measured circuit":
 * every place is loaded by itself alone. 24 V over 3 kohm and 3 kohm, 3 kohm of meter on either: 24
 * * 1.5 / 4.5 = 8 V, not 12. */
static void each_place_is_loaded_alone(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 24 V}, R1: {kind: resistor, resistance: 3 kohm}, R2: {kind: "
             "resistor, resistance: 3 kohm}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B.-}",
             NULL);
    const bp_pair pairs[] = {{"R2.1", NULL}, {"R1.1", NULL}, {"R1.2", NULL}};
    bp_question q = reading_of("on", BP_VOLTS_LOADED, pairs);
    q.n_pairs = 3;
    bp_answer *a = asked(&d, &q);
    desk_near(a->states[0].readings[0].value, 8, 1e-3, "divider");
    desk_near(a->states[0].readings[1].value, 24, 1e-3, "at the source");
    desk_near(a->states[0].readings[2].value, 8, 1e-3, "divider");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* Light goes with the current: (12 V - V) / (1000 ohm + R), V the diode's 2 * 25.85 mV * ln(I
 * / 1.1e-18 A), by repeated insertion. A bulb behind 1 kohm stays dark. */
static void a_led_lamp_lights_where_a_bulb_does_not(void **state) {
    (void)state;
    static const struct {
        const char *text, *bulb, *led;
        double ohm;
    } row[] = {{"1 ohm", "bright", "bright", 1},
               {"1 kohm", "off", "bright", 1e3},
               {"10 kohm", "off", "dim", 1e4},
               {"100 kohm", "off", "off", 1e5}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        double amps = 5e-3;
        for (int k = 0; k < 100; k++)
            amps = (12 - 2 * 0.02585 * log(amps / 1.1e-18)) / (1000.2 + row[i].ohm);
        set(&d, row[i].text);
        const bp_reading led = read_one(&d, BP_LED_LAMP, "S.1", NULL);
        desk_near(led.value, amps / 10e-3, 0.02 * led.value, "Shockley and 1 kohm");
        assert_string_equal(led.display, row[i].led);
        assert_string_equal(read_one(&d, BP_TEST_LAMP, "S.1", NULL).display, row[i].bulb);
        /* It lights either way round. */
        assert_string_equal(read_one(&d, BP_LED_LAMP, "B.-", "S.1").display, row[i].led);
        desk_clear(&d);
    }
}

/* 5 to 20 mA over the voltages of a vehicle of 12 V. */
static void a_led_lamp_takes_what_such_lamps_take(void **state) {
    (void)state;
    static const char *const volts[] = {"8 V", "12 V", "15 V", "20 V"};
    for (size_t i = 0; i < sizeof volts / sizeof *volts; i++) {
        desk d;
        char parts[200];
        snprintf(parts, sizeof parts,
                 "B: {kind: source, emf: %s}, R: {kind: resistor, resistance: 1 kohm}", volts[i]);
        desk_set(&d, parts, "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: B.-}", NULL);
        const double milliampere = 10 * read_one(&d, BP_LED_LAMP, "R.1", NULL).value;
        assert_true(milliampere >= 5 && milliampere <= 20);
        desk_clear(&d);
    }
}

/* The reading with its words; owned by the answer. */
static const char *words(desk *d, bp_instrument instrument, const char *red, bp_answer **answer) {
    const bp_pair pair = {red, NULL};
    const bp_question q = reading_of("on", instrument, &pair);
    *answer = asked(d, &q);
    return (*answer)->states[0].readings[0].why;
}

/* A 5 V supply for sensors gives 50 mA (stated here). A bulb of 3 W has an eighth of its 48 ohm
 * while it is cold, so all of that leaves little: it stays dark, and the supply is down. The lamp
 * with diodes takes 3 mA and leaves it standing. */
static void a_bulb_pulls_a_reference_down(void **state) {
    (void)state;
    desk d;
    bp_answer *a;
    desk_set(&d, FEED "A: {kind: regulator, limit: 50 mA}, R: {kind: resistor, resistance: 1 kohm}",
             "W1: {from: B.+, to: A.15}, W2: {from: A.31, to: B.-}, W3: {from: A.out, to: R.1}, "
             "W4: {from: R.2, to: B.-}, W5: {from: B.+, to: S.1}, W6: {from: S.2, to: B.-}",
             NULL);
    desk_near(read_one(&d, BP_VOLTS, "R.1", NULL).value, 5, 5e-3, "regulated");
    const char *why = words(&d, BP_TEST_LAMP, "R.1", &a);
    assert_non_null(why);
    assert_memory_equal(why, "4.999 V stood here until this drew current; now 0.", 49);
    assert_non_null(strstr(why, "no place for a bulb if it is a reference or a signal"));
    assert_string_equal(a->states[0].readings[0].display, "off");
    bp_answer_free(&a);
    assert_null(words(&d, BP_LED_LAMP, "R.1", &a));
    assert_string_equal(a->states[0].readings[0].display, "dim");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* A feed that gives way is worth a word, and no caution; a good one and a dead place are not. */
static void what_gives_way_says_so(void **state) {
    (void)state;
    desk d;
    bp_answer *a;
    set(&d, "1 kohm");
    const char *why = words(&d, BP_TEST_LAMP, "S.1", &a);
    assert_non_null(why);
    assert_memory_equal(why, "12.00 V stood here until this drew current; now 0.0", 51);
    assert_null(strstr(why, "reference"));
    bp_answer_free(&a);
    assert_null(words(&d, BP_TEST_LAMP, "B.+", &a));
    bp_answer_free(&a);
    assert_null(words(&d, BP_TEST_LAMP, "S.2", &a));
    bp_answer_free(&a);
    assert_null(words(&d, BP_VOLTS, "S.1", &a));
    bp_answer_free(&a);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_ghost_voltage_breaks_down),
        cmocka_unit_test(each_place_is_loaded_alone),
        cmocka_unit_test(a_led_lamp_lights_where_a_bulb_does_not),
        cmocka_unit_test(a_led_lamp_takes_what_such_lamps_take),
        cmocka_unit_test(a_bulb_pulls_a_reference_down),
        cmocka_unit_test(what_gives_way_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
