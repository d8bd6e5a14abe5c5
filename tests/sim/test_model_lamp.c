/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lamps behind a shunt of 10 mohm, so that their current is read as a meter would.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#include <math.h>

#define WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: L.1}, W3: {from: L.2, to: B.-}"

static void on_desk(desk *d, const char *parts) { desk_set(d, parts, WIRES, NULL); }
#define PARTS(emf, power)                                                                          \
    "B: {kind: source, emf: " emf "}, R1: {kind: resistor, resistance: 10 mohm}, "                 \
    "L: {kind: lamp, power: " power "}"

static double amps(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "R1.1", "R1.2") / 0.010;
}

/* UN R37: a 12 V 21/5 W lamp takes at 13.5 V at most 26.5 W and 6.6 W. By Fink and Beaty (11th
 * edition, p. 22-8) power grows as V^1.55 to V^1.6: 21 * 1.125^1.55 = 25.2 W, 5 W -> 6.0 W. */
static void power_at_the_test_voltage_is_that_of_un_r37(void **state) {
    (void)state;
    desk d;
    on_desk(&d, PARTS("13.5 V", "21 W"));
    double watts = amps(&d, NULL) * desk_volts(&d, NULL, NULL, "L/1", "L/2");
    assert_true(watts <= 26.5);
    desk_near(watts, 25.2, 0.2, "21 W * 1.125^1.55");
    desk_clear(&d);
    on_desk(&d, PARTS("13.5 V", "5 W"));
    watts = amps(&d, NULL) * desk_volts(&d, NULL, NULL, "L/1", "L/2");
    assert_true(watts <= 6.6);
    desk_near(watts, 6.0, 0.05, "5 W * 1.125^1.55");
    desk_clear(&d);
}

/* Fink and Beaty: current as V^0.55, light as V^3.4; cold resistance a tenth of hot. */
static void current_and_light_follow_the_handbook(void **state) {
    (void)state;
    desk d;
    double light;
    on_desk(&d, PARTS("12 V", "5 W"));
    double full = amps(&d, NULL);
    desk_near(full, 5.0 / 12, 2e-3, "P / V");
    desk_clear(&d);
    on_desk(&d, PARTS("6 V", "5 W"));
    desk_near(amps(&d, NULL) / full, pow(0.5, 0.55), 2e-3, "half the voltage");
    assert_string_equal(desk_says(&d, NULL, NULL, "L", &light), "weak");
    desk_near(light, pow(0.5, 3.4), 1e-3, "half the voltage");
    desk_clear(&d);
    on_desk(&d, PARTS("10 mV", "5 W"));
    /* At 10 mV the filament is cold: 28.8 ohm hot, a tenth of it cold. */
    desk_near(0.010 / amps(&d, NULL), 0.1 * 28.8, 0.06, "cold:hot about 1:10");
    desk_clear(&d);
}

static void faults_darken_or_brighten(void **state) {
    (void)state;
    desk d;
    double light;
    on_desk(&d, PARTS("12.5 V", "21 W"));
    assert_string_equal(desk_says(&d, NULL, NULL, "L", NULL), "normal");
    assert_string_equal(desk_says(&d, NULL, "L:open", "L", NULL), "off");
    desk_near(amps(&d, "L:open"), 0, 1e-3, "open");
    assert_string_equal(desk_says(&d, NULL, "L:short=0.05ohm", "L", NULL), "off");
    /* 10 mohm shunt, two plug pins of 2 mohm, 50 mohm: 12.5 / 0.064. */
    desk_near(amps(&d, "L:short=0.05ohm"), 195.3, 0.5, "short");
    /* 5 W instead of 21: 5/21 of the light and of the current. */
    assert_string_equal(desk_says(&d, NULL, "L:wrong-bulb=5W", "L", &light), "weak");
    desk_near(light, pow(12.5 / 12, 3.4) * 5 / 21, 2e-3, "wrong bulb");
    desk_near(amps(&d, "L:wrong-bulb=5W") / amps(&d, NULL), 5.0 / 21, 2e-3, "wrong bulb");
    assert_string_equal(desk_says(&d, NULL, "L:wrong-bulb=60W", "L", NULL), "bright");
    assert_string_equal(desk_says(&d, NULL, "L:blackened=50%", "L", &light), "weak");
    desk_near(amps(&d, "L:blackened=50%"), amps(&d, NULL), 1e-6, "a meter cannot see soot");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(power_at_the_test_voltage_is_that_of_un_r37),
        cmocka_unit_test(current_and_light_follow_the_handbook),
        cmocka_unit_test(faults_darken_or_brighten),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
