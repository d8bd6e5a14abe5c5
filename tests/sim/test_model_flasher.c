/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Flashers with two lamps of 21 W: 1.75 A each at 12 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/asked.h"

#define PARTS(emf, flasher)                                                                        \
    "B: {kind: source, emf: " emf "}, FL: {kind: flasher" flasher "}, "                            \
    "S: {kind: switch, positions: {left: [[1, 2]], off: []}}, "                                    \
    "E1: {kind: lamp, power: 21 W}, E2: {kind: lamp, power: 21 W}"
#define LAMPS                                                                                      \
    "W1: {from: B.+, to: FL.49}, W2: {from: FL.49a, to: S.1}, W3: {from: S.2, to: E1.1}, "         \
    "W4: {from: S.2, to: E2.1}, W5: {from: E1.2, to: B.-}, W6: {from: E2.2, to: B.-}"
#define ELECTRONIC LAMPS ", W7: {from: FL.31, to: B.-}"
#define STATES "left: {}, off: {S: off}"

static const char *of(desk *d, const char *state, const char *faults) {
    return desk_says(d, state, faults, "FL", NULL);
}

/* Lit, 49a has all but the contact's 20 mohm times 3.5 A; dark, the feeler's 10 kohm against two
 * cold filaments. */
static void an_electronic_one_flashes_and_tells_a_lamp_out(void **state) {
    (void)state;
    desk d;
    double low, high;
    desk_set(&d, PARTS("12 V", ""), ELECTRONIC, STATES);
    assert_string_equal(of(&d, "left", NULL), "flashes");
    assert_string_equal(of(&d, "left", "E1:open"), "flashes-fast");
    assert_string_equal(of(&d, "off", NULL), "off");
    desk_swing(&d, NULL, "FL.49a", NULL, &low, &high);
    desk_near(low, 0, 0.01, "dark");
    desk_near(high, 12 - 3.5 * 0.024, 0.02, "lit");
    assert_string_equal(desk_says(&d, "left", NULL, "E2", NULL), "normal");
    /* A meter of 10 Mohm behind 10 kohm. */
    desk_near(desk_volts(&d, "off", NULL, "FL.49a", NULL), 12 / 1.001, 0.01, "feeler");
    desk_clear(&d);
    desk_set(&d, PARTS("7 V", ""), ELECTRONIC, STATES);
    assert_string_equal(of(&d, "left", NULL), "off");
    desk_clear(&d);
}

/* A flasher is meant to: its reading swings, where that of a chattering relay is unsteady. */
static void a_reading_swings(void **state) {
    (void)state;
    static const bp_pair pair = {"FL.49a", NULL};
    desk d;
    desk_set(&d, PARTS("12 V", ""), ELECTRONIC, STATES);
    const bp_question q = reading_of("left", BP_VOLTS, &pair);
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &state_in(a, "left", NULL)->readings[0];
    assert_int_equal(r->status, BP_READING_UNSTEADY);
    assert_string_equal(r->display, "swings");
    desk_near(r->high - r->low, 12 - 3.5 * 0.024, 0.03, "from dark to lit");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* Behind 1 ohm the two lamps have 9.0 V and take 3.5 * (9 / 12)^0.55 = 2.99 A; their light is
 * (9 / 12)^3.4 = 38 %. */
static void each_fault_of_a_flasher(void **state) {
    (void)state;
    desk d;
    double light;
    desk_set(&d, PARTS("12 V", ""), ELECTRONIC, STATES);
    assert_string_equal(of(&d, "left", "FL:contact-open"), "off");
    assert_string_equal(desk_says(&d, "left", "FL:contact-open", "E1", NULL), "off");
    assert_string_equal(of(&d, "left", "FL:contact-welded"), "steady");
    assert_string_equal(desk_says(&d, "left", "FL:contact-welded", "E1", NULL), "normal");
    assert_string_equal(of(&d, "left", "FL:wrong-load=84W"), "flashes-fast");
    assert_string_equal(of(&d, "left", "FL:contact-resistance=1ohm"), "flashes");
    assert_string_equal(desk_says(&d, "left", "FL:contact-resistance=1ohm", "E1", &light), "weak");
    desk_near(light, 0.37, 0.02, "Fink and Beaty");
    desk_clear(&d);
}

/* The heater of a thermal one needs the current of both lamps. */
static void a_thermal_one_stays_lit_with_a_lamp_out(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12 V", ", sort: thermal"), LAMPS, STATES);
    assert_string_equal(of(&d, "left", NULL), "flashes");
    assert_string_equal(of(&d, "left", "E1:open"), "steady");
    assert_string_equal(desk_says(&d, "left", "E1:open", "E2", NULL), "normal");
    assert_string_equal(of(&d, "off", NULL), "off");
    desk_near(desk_volts(&d, "off", NULL, "FL.49a", NULL), 12, 0.01, "its contact rests closed");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_electronic_one_flashes_and_tells_a_lamp_out),
        cmocka_unit_test(a_reading_swings),
        cmocka_unit_test(each_fault_of_a_flasher),
        cmocka_unit_test(a_thermal_one_stays_lit_with_a_lamp_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
