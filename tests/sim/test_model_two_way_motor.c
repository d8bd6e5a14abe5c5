/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A window motor of 8 A at 13.5 V that stalls at 27 A: R = 0.5 ohm, E = 13.5 - 4 = 9.5 V, torque
 * 0.8 + 0.2 w: v = 9.5 w + 8 R (0.8 + 0.2 w). A shunt of 1 mohm, two pins of the
 * motor and four of the switch add 13 mohm to R.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define MOTOR "M: {kind: two-way-motor, current: 8 A, stall: 27 A, load: window}"
#define PARTS                                                                                      \
    "B: {kind: source, emf: 13.5 V}, R1: {kind: resistor, resistance: 1 mohm}, "                   \
    "S: {kind: switch, resistance: 1 uohm, positions: {off: [], up: [[p, a], [n, b]], "            \
    "down: [[p, b], [n, a]]}}, " MOTOR
#define WIRES                                                                                      \
    "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: S.p}, W3: {from: S.n, to: B.-}, "             \
    "W4: {from: S.a, to: M.1}, W5: {from: S.b, to: M.2}"
#define STATES                                                                                     \
    "up: {S: up}, down: {S: down}, top: {S: up, M: forward-end}, "                                 \
    "leaves: {S: down, M: forward-end, from: top}, bottom: {S: down, M: backward-end}, "           \
    "rest: {M: forward-end}"

static void set(desk *d) { desk_set(d, PARTS, WIRES, STATES); }

static double amps(desk *d, const char *state, const char *faults) {
    return desk_volts(d, state, faults, "R1.1", "R1.2") / 0.001;
}

static void says(desk *d, const char *state, const char *faults, const char *id, double speed) {
    double value;
    assert_string_equal(desk_says(d, state, faults, "M", &value), id);
    desk_near(value, speed, 0.01, faults ? faults : state);
}

static void the_fed_pin_decides_which_way_it_runs(void **state) {
    (void)state;
    desk d;
    set(&d);
    /* 13.5 = 9.5 w + 4.104 (0.8 + 0.2 w): w = 10.217 / 10.321. */
    says(&d, "up", NULL, "forward", 0.990);
    says(&d, "down", NULL, "backward", -0.990);
    desk_near(amps(&d, "up", NULL), 8, 0.1, "rated");
    desk_near(amps(&d, "down", NULL), 8, 0.1, "rated");
    desk_clear(&d);
}

/* Against its stop it takes 13.5 / 0.513 = 26.3 A all in all, and runs
 * away from it. */
static void it_stalls_at_the_end_of_travel(void **state) {
    (void)state;
    desk d;
    set(&d);
    says(&d, "top", NULL, "at-its-stop", 0);
    desk_near(amps(&d, "top", NULL), 26.3, 0.1, "stall");
    says(&d, "bottom", NULL, "at-its-stop", 0);
    says(&d, "leaves", NULL, "backward", -0.990);
    says(&d, "rest", NULL, "off", 0);
    desk_clear(&d);
}

static void each_fault_of_a_two_way_motor(void **state) {
    (void)state;
    desk d;
    set(&d);
    says(&d, "up", "M:open", "off", 0);
    /* 13.5 = 9.5 w + 12.1 (0.8 + 0.2 w): w = 3.82 / 11.92. */
    says(&d, "up", "M:worn-brushes=1ohm", "forward-slow", 0.320);
    /* 13.5 = 9.5 w + 4.1 (1.8 + 0.2 w): w = 6.12 / 10.32. */
    says(&d, "down", "M:binding=100%", "backward-slow", -0.593);
    says(&d, "up", "M:seized", "stalled", 0);
    /* Nothing to move: 13.5 = 9.5 w + 4.1 (0.12 + 0.05 w): w = 13.008 / 9.705. */
    says(&d, "up", "M:unloaded", "forward-fast", 1.340);
    /* A tenth of the turns shorted: i = 8 (0.8 + (0.2 + 0.1 * 9.5 / 4) w) / 0.9 and the armature as
     * a whole 0.45 ohm: w = 1 still, 11 A. */
    desk_near(amps(&d, "up", "M:shorted-turns=10%"), 8 * 1.2375 / 0.9, 0.2, "shorted turns");
    /* 13.5 V over 5 ohm. */
    desk_near(amps(&d, "up", "M:ground-leak=5ohm") - amps(&d, "up", NULL), 2.7, 0.05, "leak");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_fed_pin_decides_which_way_it_runs),
        cmocka_unit_test(it_stalls_at_the_end_of_travel),
        cmocka_unit_test(each_fault_of_a_two_way_motor),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
