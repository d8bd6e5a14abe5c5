/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a relay is: its terminals, its data-sheet values, the failure modes of its fittings.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/circuits/single.h"

#define LIST(...) ((const char *const[]){__VA_ARGS__, NULL})
static const char *const make_pins[] = {"30", "85", "86", "87", NULL};

/* Typical 12 V plug-in relay data sheets: coil 85 ohm +-10 %, operate at 8 V at most, release at
 * 1.5 V at least, contact drop at 10 A 15 mV typical; pull-in 54 to 67 % and release 4 to 12.5 % of
 * nominal for other makes, so the defaults of good parts must lie inside both. */
static void defaults_are_those_of_data_sheets(void **state) {
    (void)state;
    single s;
    single_set(&s, "relay", NULL, make_pins);
    assert_float_equal(single_low(&s, "coil"), 76.5, 1e-9);
    assert_float_equal(single_high(&s, "coil"), 93.5, 1e-9);
    assert_true(single_high(&s, "pull-in") <= 8.0 + 1e-9);
    assert_in_range((int)(1000 * single_param(&s, "pull-in") / 12), 540, 670);
    assert_true(single_low(&s, "drop-out") >= 1.5 - 1e-9);
    assert_float_equal(single_param(&s, "contact") * 10, 0.015, 1e-9);
    single_clear(&s);
}

/* ISO 7588 numbers, from memory: 1 and 2 the coil, 3 the common contact, 5 make, 4 break. */
static void numbered_terminals_answer_to_their_numbers(void **state) {
    (void)state;
    single s;
    single_set(&s, "relay", LIST("terminals", "numbered"), LIST("3", "2", "1", "5", "4"));
    assert_non_null(s.part);
    static const struct {
        const char *number;
        size_t din;
    } same[] = {{"3", 0}, {"2", 1}, {"1", 2}, {"5", 3}, {"4", 4}};
    static const char *const din[] = {"30", "85", "86", "87", "87a", NULL};
    single d;
    single_set(&d, "relay", NULL, din);
    for (size_t i = 0; i < 5; i++)
        assert_int_equal(bp_pin_find(s.part, same[i].number),
                         bp_pin_find(d.part, din[same[i].din]));
    assert_int_equal(bp_pin_find(s.part, "30"), BP_NONE);
    single_clear(&d);
    single_clear(&s);
}

static void a_relay_fails_only_by_what_it_has(void **state) {
    (void)state;
    single plain, diode, resistor, change_over;
    single_set(&plain, "relay", NULL, make_pins);
    assert_false(single_fails_by(&plain, "diode-shorted"));
    assert_false(single_fails_by(&plain, "suppression-open"));
    assert_false(single_fails_by(&plain, "contact-87a-open"));
    assert_true(single_fails_by(&plain, "contact-welded"));
    single_set(&diode, "relay", LIST("suppression.diode", "cathode-86"), make_pins);
    assert_true(single_fails_by(&diode, "diode-reversed"));
    assert_true(single_fails_by(&diode, "suppression-open"));
    single_set(&resistor, "relay", LIST("suppression.resistor", "680 ohm"), make_pins);
    assert_true(single_fails_by(&resistor, "suppression-open"));
    assert_false(single_fails_by(&resistor, "diode-shorted"));
    single_set(&change_over, "relay", LIST("contacts", "break"), LIST("30", "85", "86", "87a"));
    assert_true(single_fails_by(&change_over, "contact-87a-resistance"));
    assert_false(single_fails_by(&change_over, "contact-welded"));
    single_clear(&change_over);
    /* Which contacts it has its wires say, unless the file does. */
    single_set(&change_over, "relay", NULL, LIST("30", "85", "86", "87a"));
    assert_true(single_fails_by(&change_over, "contact-87a-resistance"));
    assert_false(single_fails_by(&change_over, "contact-welded"));
    single_clear(&change_over);
    single_clear(&resistor);
    single_clear(&diode);
    single_clear(&plain);
}

static void impossible_relays_are_refused(void **state) {
    (void)state;
    single s;
    single_set(&s, "relay", LIST("pull-in", "5 V", "drop-out", "6 V"), make_pins);
    assert_true(single_refused(&s, "drops out at 6 V and pulls in at 5 V"));
    single_clear(&s);
    single_set(&s, "relay",
               LIST("suppression.resistor", "680 ohm", "suppression.diode", "cathode-86"),
               make_pins);
    assert_true(single_refused(&s, "one of them"));
    single_clear(&s);
    single_set(&s, "relay", LIST("contacts", "change-over"), make_pins);
    assert_true(single_refused(&s, "87a"));
    single_clear(&s);
    single_set(&s, "relay", NULL, LIST("30", "85", "86"));
    assert_true(single_refused(&s, "no wire goes to pin 87 of relay X"));
    single_clear(&s);
    single_set(&s, "relay", LIST("suppression.diode", "cathode-87"), make_pins);
    assert_true(single_refused(&s, "cathode-86"));
    single_clear(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(defaults_are_those_of_data_sheets),
        cmocka_unit_test(numbered_terminals_answer_to_their_numbers),
        cmocka_unit_test(a_relay_fails_only_by_what_it_has),
        cmocka_unit_test(impossible_relays_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
