/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A two-speed wiper on 13.5 V. By hand: I = 4 A, R = 13.5 / 28 = 0.4821 ohm, E = 11.571 V at rated
 * speed; load t = 0.8 + 0.2 w. Fast: w = 1.45, t = 1.09, E_f = (13.5 - 1.09 I R) / 1.45 = 7.861 V,
 * i = 1.09 I E / E_f = 6.42 A. Fuse, switch, pins and shunt add 13 mohm to R.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "tests/sim/desk.h"

#define PARTS                                                                                      \
    "B: {kind: source, emf: 13.5 V}, R1: {kind: resistor, resistance: 1 mohm}, "                   \
    "F1: {kind: fuse, rating: 30 A, resistance: 0.1 mohm}, M: {kind: wiper-motor}, "               \
    "S: {kind: switch, resistance: 0.1 mohm, positions: {off: [[\"53e\", \"53\"]], "               \
    "slow: [[\"15\", \"53\"]], fast: [[\"15\", \"53b\"]]}}"
#define WIRES                                                                                      \
    "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: F1.1}, W3: {from: F1.2, to: S.15}, "          \
    "W4: {from: F1.2, to: M.53a}, W5: {from: S.53, to: M.53}, W6: {from: S.53b, to: M.53b}, "      \
    "W7: {from: S.53e, to: M.53e}, W8: {from: M.31, to: B.-}"
#define STATES                                                                                     \
    "parked: {S: off, M: parked}, slow: {S: slow, M: sweeping, from: parked}, "                    \
    "fast: {S: fast, M: sweeping, from: slow}, returning: {S: off, M: sweeping, from: slow}"

static double amps(desk *d, const char *at, const char *faults) {
    return desk_volts(d, at, faults, "R1.1", "R1.2") / 0.001;
}

static void says(desk *d, const char *at, const char *faults, const char *id) {
    const char *got = desk_says(d, at, faults, "M", NULL);
    if (strcmp(got, id) != 0)
        fail_msg("%s, %s: says %s, expected %s", at, faults ? faults : "healthy", got, id);
}

static void a_good_wiper_parks_wipes_and_returns(void **state) {
    (void)state;
    desk d;
    double speed;
    desk_set(&d, PARTS, WIRES, STATES);
    says(&d, "parked", NULL, "parked");
    desk_near(amps(&d, "parked", NULL), 0, 0.01, "braked");
    desk_near(desk_volts(&d, "parked", NULL, "M.53e", NULL), 0, 1e-3, "park switch on ground");
    assert_string_equal(desk_says(&d, "slow", NULL, "M", &speed), "normal");
    desk_near(speed, 1, 0.01, "rated");
    desk_near(amps(&d, "slow", NULL), 4, 0.05, "rated");
    assert_string_equal(desk_says(&d, "fast", NULL, "M", &speed), "normal");
    desk_near(speed, 1.45, 0.015, "fast");
    desk_near(amps(&d, "fast", NULL), 6.42, 0.05, "fast");
    /* The slow brush spans more turns than the fed one: 1.45 * 11.571 = 16.8 V, over the supply. */
    desk_near(desk_volts(&d, "fast", NULL, "M.53", NULL), 16.8, 0.15, "back-EMF");
    /* On the way down it runs slow through the park switch, 0.01 ohm and its pins more. */
    assert_string_equal(desk_says(&d, "returning", NULL, "M", &speed), "normal");
    desk_near(speed, 0.995, 0.01, "through the park switch");
    desk_clear(&d);
}

/* Every fault where it shows, and one state where it does not. */
static void each_fault_does_what_a_technician_knows(void **state) {
    (void)state;
    static const struct {
        const char *faults, *parked, *slow, *fast, *returning;
    } row[] = {
        {"M:slow-brush-open", "parked", "stops-short", "normal", "stops-short"},
        {"M:fast-brush-open", "parked", "normal", "stops-short", "normal"},
        {"M:common-brush-open", "parked", "stops-short", "stops-short", "stops-short"},
        {"M:seized", "parked", "stalled", "stalled", "stalled"},
        {"M:unloaded", "parked", "off", "off", "off"},
        {"M:park-open", "parked", "normal", "normal", "stops-short"},
        {"M:park-welded", "never-stops", "normal", "normal", "normal"},
        {"M:brake-open", "parked", "normal", "normal", "normal"},
        {"M:brake-resistance=2ohm", "parked", "normal", "normal", "normal"},
        {"M:brake-welded", "parked", "normal", "normal", "stops-short"},
        {"M:shorted-turns=10%", "parked", "normal", "normal", "normal"},
    };
    desk d;
    desk_set(&d, PARTS, WIRES, STATES);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        says(&d, "parked", row[i].faults, row[i].parked);
        says(&d, "slow", row[i].faults, row[i].slow);
        says(&d, "fast", row[i].faults, row[i].fast);
        says(&d, "returning", row[i].faults, row[i].returning);
    }
    desk_clear(&d);
}

static void graded_faults_have_their_speed(void **state) {
    (void)state;
    desk d;
    double speed;
    desk_set(&d, PARTS, WIRES, STATES);
    /* 1 ohm more: 13.5 = 11.571 w + 1.495 * 4 (0.8 + 0.2 w): w = 8.716 / 12.767. */
    desk_says(&d, "slow", "M:worn-brushes=1ohm", "M", &speed);
    desk_near(speed, 0.683, 0.003, "worn brushes");
    /* t = 2.3 + 0.2 w: w = (13.5 - 4.554) / 11.967 = 0.748, i = 4 * 2.450 = 9.80 A. */
    desk_says(&d, "slow", "M:binding=150%", "M", &speed);
    desk_near(speed, 0.748, 0.003, "binding");
    desk_near(amps(&d, "slow", "M:binding=150%"), 9.80, 0.02, "binding");
    /* The same 2 ohm of the park contact slow it only on the way down:
     * 13.5 = 11.571 w + 2.513 * 4 (0.8 + 0.2 w): w = 5.458 / 13.581. */
    desk_says(&d, "returning", "M:park-resistance=2ohm", "M", &speed);
    desk_near(speed, 0.402, 0.004, "burnt park contact");
    desk_says(&d, "slow", "M:park-resistance=2ohm", "M", &speed);
    desk_near(speed, 1, 0.01, "not in its way");
    /* Feed to ground through 0.1 ohm: over 100 A. */
    assert_true(desk_blown(&d, "parked", "M:park-bridged=0.1ohm", "F1"));
    assert_false(desk_blown(&d, "fast", NULL, "F1"));
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_good_wiper_parks_wipes_and_returns),
        cmocka_unit_test(each_fault_does_what_a_technician_knows),
        cmocka_unit_test(graded_faults_have_their_speed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
