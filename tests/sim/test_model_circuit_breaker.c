/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Circuit breakers: the limits of SAE J553 (from memory), the three ways of closing again,
 * failures. A 20 A breaker has 0.1 V / 20 A = 5 mohm, its two pins 4 mohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

static void set(desk *d, const char *reset, const char *load) {
    char parts[250];
    snprintf(parts, sizeof parts,
             "B: {kind: source, emf: 12 V}, "
             "S: {kind: switch, positions: {closed: [[1, 2]], open: []}}, "
             "CB: {kind: circuit-breaker, rating: 20 A, reset: %s}, "
             "R: {kind: resistor, resistance: %s}",
             reset, load);
    desk_set(d, parts,
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: CB.1}, W3: {from: CB.2, to: R.1}, "
             "W4: {from: R.2, to: B.-}",
             "on: {}, off: {S: open, from: on}");
}

/* Half an hour at 1.35 times, a minute at twice; its rating for ever. A breaker is rated at 25 degC
 * and carries 0.4 % less for each kelvin more (from memory): at 85 degC 1.2 times are
 * 1.2 / 0.76 = 1.58 times. */
static void it_trips_within_the_limits_of_sae_j553(void **state) {
    (void)state;
    desk d;
    set(&d, "cycling", "1.2 ohm");
    assert_false(desk_next_at(&d, "CB", 20, 25).moves);
    assert_false(desk_next_at(&d, "CB", 1.34 * 20, 25).moves);
    desk_near(desk_next_at(&d, "CB", 1.3501 * 20, 25).seconds, 1800, 10, "1.35 times");
    desk_near(desk_next_at(&d, "CB", 2 * 20, 25).seconds, 60, 1, "twice");
    assert_true(desk_next_at(&d, "CB", 1.2 * 20, 85).moves);
    assert_false(desk_next_at(&d, "CB", 1.2 * 20, 25).moves);
    desk_clear(&d);
}

/* 12 V over 0.2 ohm, the breaker's 9 mohm and 14 mohm of the switch: 54 A, 2.7 times. A meter on
 * the load sees all of that and nothing in turns. */
static void a_cycling_one_finds_no_rest(void **state) {
    (void)state;
    desk d;
    double low, high;
    set(&d, "cycling", "0.2 ohm");
    assert_string_equal(desk_says(&d, "on", NULL, "CB", NULL), "cycles");
    assert_false(desk_blown(&d, "on", NULL, "CB"));
    desk_swing(&d, NULL, "R.1", NULL, &low, &high);
    desk_near(low, 0, 1e-3, "open");
    desk_near(high, 12 * 0.2 / 0.223, 0.01, "closed");
    assert_string_equal(desk_says(&d, "off", NULL, "CB", NULL), "holds");
    desk_clear(&d);
}

/* A resistor of 47 ohm across the open contact keeps it warm: 12 * 0.2 / 47.2 = 51 mV on the load.
 * Switched off it closes. */
static void one_that_holds_open_closes_when_switched_off(void **state) {
    (void)state;
    desk d;
    set(&d, "holds-open", "0.2 ohm");
    assert_string_equal(desk_says(&d, "on", NULL, "CB", NULL), "tripped");
    desk_near(desk_volts(&d, "on", NULL, "R.1", NULL), 0.0508, 1e-3, "divider");
    assert_string_equal(desk_says(&d, "off", NULL, "CB", NULL), "holds");
    desk_clear(&d);
}

/* Found tripped, whatever the state. */
static void one_reset_by_hand_stays_open(void **state) {
    (void)state;
    desk d;
    set(&d, "by-hand", "0.2 ohm");
    assert_true(desk_blown(&d, "on", NULL, "CB"));
    assert_string_equal(desk_says(&d, "off", NULL, "CB", NULL), "tripped");
    desk_near(desk_volts(&d, "on", NULL, "R.1", NULL), 0, 1e-3, "open");
    desk_clear(&d);
}

/* 1.2 ohm: 12 / 1.2 = 10 A less a per cent. Tired to 30 % of 20 A, 6 A, that is 1.6 times; a 5 A
 * breaker has nearly twice. */
static void each_fault_of_a_breaker(void **state) {
    (void)state;
    desk d;
    set(&d, "cycling", "1.2 ohm");
    double good = desk_volts(&d, "on", NULL, "CB/1", "CB/2");
    desk_near(good, 9.9 * 5e-3, 1e-3, "0.1 V at its rating");
    assert_string_equal(desk_says(&d, "on", NULL, "CB", NULL), "holds");
    desk_near(desk_volts(&d, "on", "CB:open", "R.1", NULL), 0, 1e-3, "open");
    assert_string_equal(desk_says(&d, "on", "CB:open", "CB", NULL), "tripped");
    desk_near(desk_volts(&d, "on", "CB:resistance=0.3ohm", "CB/1", "CB/2"), 12 * 0.305 / 1.51, 0.05,
              "burnt");
    assert_string_equal(desk_says(&d, "on", "CB:trips-early=30%", "CB", NULL), "cycles");
    assert_string_equal(desk_says(&d, "on", "CB:wrong-rating=5A", "CB", NULL), "cycles");
    assert_string_equal(desk_says(&d, "on", "CB:welded", "CB", NULL), "holds");
    desk_clear(&d);
    set(&d, "cycling", "0.2 ohm");
    assert_string_equal(desk_says(&d, "on", "CB:welded", "CB", NULL), "overloaded");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_trips_within_the_limits_of_sae_j553),
        cmocka_unit_test(a_cycling_one_finds_no_rest),
        cmocka_unit_test(one_that_holds_open_closes_when_switched_off),
        cmocka_unit_test(one_reset_by_hand_stays_open),
        cmocka_unit_test(each_fault_of_a_breaker),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
