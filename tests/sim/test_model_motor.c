/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Motors behind a shunt of 1 mohm. By hand, with v the volts on the armature, R its resistance, I
 * the rated current, E = V - I R the back-EMF at rated speed and t(w) the torque of the load at w
 * rated speeds:  v = E w + R I t(w).  Two plug pins of 2 mohm and the shunt add 5 mohm to R; where
 * no sum says so they lie within the tolerance.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: M.1}, W3: {from: M.2, to: B.-}"
#define PARTS(emf, motor)                                                                          \
    "B: {kind: source, emf: " emf                                                                  \
    "}, R1: {kind: resistor, resistance: 1 mohm}, M: {kind: motor, " motor "}"
/* Pump: I = 6 A, R = 13.5 / 27 = 0.5 ohm, E = 10.5 V, t = 0.6 + 0.4 w: v = 11.7 w + 1.8. */
#define PUMP "current: 6 A, stall: 27 A, load: pump"
/* Fan: I = 12 A, R = 0.225 ohm, E = 10.8 V, t = 0.05 + 0.15 w + 0.8 w^2. */
#define FAN "current: 12 A, stall: 60 A, load: fan"

static double amps(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "R1.1", "R1.2") / 0.001;
}

static void says(desk *d, const char *faults, const char *id, double speed) {
    double value;
    assert_string_equal(desk_says(d, NULL, faults, "M", &value), id);
    desk_near(value, speed, 0.005, faults ? faults : "healthy");
}

static void at_rated_volts_it_has_rated_speed_and_current(void **state) {
    (void)state;
    static const char *const motors[] = {PARTS("13.5 V", PUMP),
                                         PARTS("13.5 V", "current: 6 A, stall: 27 A, load: fan"),
                                         PARTS("13.5 V", "current: 6 A, stall: 27 A, load: wiper"),
                                         PARTS("13.5 V", "current: 6 A, stall: 27 A")};
    for (size_t i = 0; i < sizeof motors / sizeof *motors; i++) {
        desk d;
        desk_set(&d, motors[i], WIRES, NULL);
        says(&d, NULL, "normal", 1);
        desk_near(amps(&d, NULL), 6, 0.03, "rated");
        desk_clear(&d);
    }
}

/* 10.5 V = 10.5 w + 0.505 * 6 (0.6 + 0.4 w): w = 8.682 / 11.712, i = 6 * 0.8965 = 5.38 A. */
static void a_pump_slows_with_its_supply(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("10.5 V", PUMP), WIRES, NULL);
    says(&d, NULL, "normal", 0.741);
    desk_near(amps(&d, NULL), 5.38, 0.02, "load line");
    desk_clear(&d);
}

/* Half of 13.5 V, and 2 * 0.225 ohm with shunt and pins are 0.2298 ohm each:
 * 6.75 = 10.8 w + 2.758 t: 2.206 w^2 + 11.214 w = 6.612, w = 0.534, i = 12 * 0.3579 = 4.29 A. */
static void two_fans_in_series_run_at_half_voltage(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("13.5 V", FAN) ", M2: {kind: motor, " FAN "}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: M.1}, W3: {from: M.2, to: M2.1}, "
             "W4: {from: M2.2, to: B.-}",
             NULL);
    says(&d, NULL, "weak", 0.534);
    desk_near(amps(&d, NULL), 4.29, 0.02, "square law");
    desk_near(desk_volts(&d, NULL, NULL, "M2.1", NULL), 6.75, 0.01, "equal fans share");
    /* One held still, 0.459 ohm with shunt and pins: 13.5 = 10.8 w + 5.508 t:
     * 4.406 w^2 + 11.626 w = 13.225, w = 0.858. */
    says(&d, "M2:seized", "normal", 0.858);
    assert_string_equal(desk_says(&d, NULL, "M2:seized", "M2", NULL), "stalled");
    desk_clear(&d);
}

static void each_fault_of_a_pump_has_its_speed_and_current(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("13.5 V", PUMP), WIRES, NULL);
    says(&d, "M:open", "off", 0);
    desk_near(amps(&d, "M:open"), 0, 0.01, "open");
    /* 13.5 = 10.5 w + 1.505 * 6 (0.6 + 0.4 w): w = 8.082 / 14.112. */
    says(&d, "M:worn-brushes=1ohm", "weak", 0.573);
    /* t = 1.6 + 0.4 w: w = (13.5 - 4.848) / 11.712, i = 6 * 1.895. */
    says(&d, "M:binding=100%", "normal", 0.739);
    desk_near(amps(&d, "M:binding=100%"), 11.37, 0.05, "binding");
    /* t = 5.6 asks for 33.6 A and it stalls at 27 A (13.5 / 0.505 with the pins). */
    assert_string_equal(desk_says(&d, NULL, "M:binding=500%", "M", NULL), "stalled");
    desk_near(amps(&d, "M:seized"), 13.5 / 0.505, 0.05, "stall current");
    assert_string_equal(desk_says(&d, NULL, "M:seized", "M", NULL), "stalled");
    /* A tenth of the turns shorted: R, E and torque per ampere 0.9 of theirs, and the short brakes
     * by 0.1 E / (R I) = 0.35 w: i = 6 (0.6 + 0.75 w) / 0.9, v = 11.7 w + 1.8 as before, 9 A. */
    says(&d, "M:shorted-turns=10%", "normal", 1);
    desk_near(amps(&d, "M:shorted-turns=10%"), 9, 0.08, "shorted turns");
    /* Nothing to push: t = 0.12 + 0.05 w: w = 13.14 / 10.65 = 1.234, i = 1.09 A. */
    says(&d, "M:unloaded", "fast", 1.234);
    desk_near(amps(&d, "M:unloaded"), 1.09, 0.02, "unloaded");
    desk_clear(&d);
}

/* A leak of 5 ohm beside the motor takes 13.5 / 5 = 2.7 A more. */
static void a_leak_to_the_housing_takes_its_own_current(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("13.5 V", FAN), WIRES, NULL);
    desk_near(amps(&d, "M:ground-leak=5ohm") - amps(&d, NULL), 2.7, 0.03, "Ohm");
    desk_clear(&d);
}

/* The wrong way round everything changes its sign. */
static void swapped_wires_run_it_backwards(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("13.5 V", PUMP),
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: M.2}, W3: {from: M.1, to: B.-}",
             NULL);
    says(&d, NULL, "backwards", -1);
    desk_clear(&d);
}

/* 100 degC: R = 0.5 * (1 + 0.00393 * 80) = 0.657 ohm: 13.5 = 10.5 w + 3.943 (0.6 + 0.4 w),
 * w = 11.134 / 12.077 = 0.922. Held still: 13.5 / (0.657 + 0.005). */
static void hot_copper_slows_it(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("13.5 V", PUMP), WIRES, NULL);
    d.question.ambient = 100;
    says(&d, NULL, "normal", 0.922);
    desk_near(amps(&d, "M:seized"), 20.39, 0.05, "copper 0.00393/K");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(at_rated_volts_it_has_rated_speed_and_current),
        cmocka_unit_test(a_pump_slows_with_its_supply),
        cmocka_unit_test(two_fans_in_series_run_at_half_voltage),
        cmocka_unit_test(each_fault_of_a_pump_has_its_speed_and_current),
        cmocka_unit_test(a_leak_to_the_housing_takes_its_own_current),
        cmocka_unit_test(swapped_wires_run_it_backwards),
        cmocka_unit_test(hot_copper_slows_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
