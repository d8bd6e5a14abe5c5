/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What motors are: stall currents that go with their working current, faults that go with their
 * load.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "circuits/kinds/motor.h"
#include "tests/circuits/single.h"

#define LIST(...) ((const char *const[]){__VA_ARGS__, NULL})

/* R = V / I_stall, by Ohm's law, whichever way the motor is stated. */
static void armature_follows_from_what_is_stated(void **state) {
    (void)state;
    single s;
    single_set(&s, "motor", LIST("current", "6 A", "stall", "27 A"), LIST("1", "2"));
    assert_float_equal(bp_motor_armature(s.part->param), 0.5, 1e-12);
    single_clear(&s);
    single_set(&s, "motor", LIST("current", "6 A", "armature", "0.4 ohm"), LIST("1", "2"));
    assert_float_equal(bp_motor_armature(s.part->param), 0.4, 1e-12);
    single_clear(&s);
    /* Nothing stated: 5 times the current. 12 V / (5 * 4 A) = 0.6 ohm. */
    single_set(&s, "motor", LIST("current", "4 A", "volts", "12 V"), LIST("1", "2"));
    assert_float_equal(bp_motor_armature(s.part->param), 0.6, 1e-12);
    single_clear(&s);
}

static void contradicting_motors_are_refused(void **state) {
    (void)state;
    single s;
    single_set(&s, "motor", LIST("current", "6 A", "stall", "27 A", "armature", "0.5 ohm"),
               LIST("1", "2"));
    assert_true(single_refused(&s, "both a stall current and an armature resistance"));
    single_clear(&s);
    single_set(&s, "motor", LIST("current", "6 A", "stall", "7 A"), LIST("1", "2"));
    assert_true(single_refused(&s, "at least 1.5 times"));
    single_clear(&s);
    single_set(&s, "motor", LIST("load", "fan"), LIST("1", "2"));
    assert_true(single_refused(&s, "current"));
    single_clear(&s);
    single_set(&s, "wiper-motor", LIST("current", "10 A", "stall", "20 A"),
               LIST("53", "53a", "53e", "31"));
    assert_true(single_refused(&s, "at least 3 times"));
    single_clear(&s);
}

/* A pump hangs insulated in its line or tank; a motor without a load cannot lose it. */
static void a_motor_fails_by_what_it_drives(void **state) {
    (void)state;
    single s;
    single_set(&s, "motor", LIST("current", "6 A", "load", "pump"), LIST("1", "2"));
    assert_true(single_fails_by(&s, "unloaded"));
    assert_false(single_fails_by(&s, "ground-leak"));
    single_clear(&s);
    single_set(&s, "motor", LIST("current", "6 A", "load", "free"), LIST("1", "2"));
    assert_false(single_fails_by(&s, "unloaded"));
    assert_true(single_fails_by(&s, "ground-leak"));
    single_clear(&s);
}

/* SAE J903, from memory: at least 45 wipes a minute at the high speed, at least 15 a minute between
 * the speeds. At 45 slow wipes the default ratio must give them. */
static void wiper_speeds_are_apart(void **state) {
    (void)state;
    single s;
    single_set(&s, "wiper-motor", NULL, LIST("53", "53b", "53a", "53e", "31"));
    double fast = 45 * single_param(&s, "fast");
    assert_true(fast >= 45 + 15);
    single_clear(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(armature_follows_from_what_is_stated),
        cmocka_unit_test(contradicting_motors_are_refused),
        cmocka_unit_test(a_motor_fails_by_what_it_drives),
        cmocka_unit_test(wiper_speeds_are_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
