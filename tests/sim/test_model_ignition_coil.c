/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An ignition coil whose terminal 1 is held on ground, as in a dwell.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS(emf)                                                                                 \
    "B: {kind: source, emf: " emf "}, R1: {kind: resistor, resistance: 10 mohm}, "                 \
    "T: {kind: ignition-coil, primary: 3 ohm, secondary: 9 kohm}"
#define WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: T.15}, W3: {from: T.1, to: B.-}"

static double amps(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "R1.1", "R1.2") / 0.010;
}

/* US Army TM 9-8000 ch. 15: breaker points carry 4 to 5 A. A coil for points has about 3 ohm (from
 * memory): 12 V and 14.2 V give 4 and 4.7 A. */
static void points_carry_what_the_manual_says(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12.2 V"), WIRES, NULL);
    assert_in_range((int)(1000 * amps(&d, NULL)), 4000, 5000);
    desk_near(amps(&d, NULL), 12.2 / 3.014, 2e-3, "Ohm");
    assert_string_equal(desk_says(&d, NULL, NULL, "T", NULL), "normal");
    desk_clear(&d);
    desk_set(&d, PARTS("14.2 V"), WIRES, NULL);
    assert_in_range((int)(1000 * amps(&d, NULL)), 4000, 5000);
    /* On a hot engine, 100 degC: 3 * (1 + 0.00393 * 80) = 3.943 ohm. The cabin does not warm it. */
    d.question.ambient = 60;
    d.question.engine = 20;
    desk_near(amps(&d, NULL), 14.2 / 3.014, 2e-3, "cold engine");
    d.question.engine = 100;
    desk_near(amps(&d, NULL), 14.2 / 3.957, 2e-3, "copper 0.00393/K");
    desk_clear(&d);
}

static void each_fault_has_its_current(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12 V"), WIRES, NULL);
    double good = amps(&d, NULL);
    desk_near(amps(&d, "T:primary-open"), 0, 1e-4, "open");
    assert_string_equal(desk_says(&d, NULL, "T:primary-open", "T", NULL), "off");
    desk_near(amps(&d, "T:primary-shorted-turns=40%"), 12 / 1.814, 5e-3, "0.6 of the turns");
    desk_near(amps(&d, "T:primary-resistance=3ohm"), 12 / 6.014, 2e-3, "in series");
    assert_string_equal(desk_says(&d, NULL, "T:primary-resistance=3ohm", "T", NULL), "weak");
    /* Terminal 1 is on ground anyway, through its pin of 2 mohm. */
    desk_near(amps(&d, "T:primary-ground-leak=10ohm"), good, 2e-3, "at ground already");
    /* What only an ohmmeter or a spark gap shows leaves the volts as they are. */
    desk_near(amps(&d, "T:secondary-open"), good, 1e-6, "no current there");
    desk_near(amps(&d, "T:secondary-shorted-turns=40%"), good, 1e-6, "no current there");
    desk_near(amps(&d, "T:secondary-breaks-down"), good, 1e-6, "not at 12 V");
    desk_clear(&d);
}

/* The secondary, 9000 ohm from 4 to 1, fed through 1 Mohm: what an ohmmeter on it does. */
static void its_secondary_shows_when_current_flows_there(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12 V") ", R2: {kind: resistor, resistance: 1 Mohm}",
             WIRES ", W4: {from: T.4, to: R2.1}, W5: {from: R2.2, to: B.+}", NULL);
    /* Over 1 Mohm, from T.4 to T/1: 12 * 9000 / 1009000 = 107 mV; 64.5 mV. */
    desk_near(desk_volts(&d, NULL, NULL, "T.4", "T/1"), 0.1070, 2e-4, "divider");
    desk_near(desk_volts(&d, NULL, "T:secondary-shorted-turns=40%", "T.4", "T/1"), 0.0645, 2e-4,
              "divider");
    /* Open: 12 V through 1 Mohm into a meter of 10 Mohm. */
    desk_near(desk_volts(&d, NULL, "T:secondary-open", "T.4", "T/1"), 12 / 1.1, 0.01, "meter");
    desk_clear(&d);
}

/* With terminal 1 free a leak there carries current all the time: 12 / (3 + 10). */
static void a_leak_at_terminal_1_feeds_the_coil(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12 V") ", R2: {kind: resistor, resistance: 1 Mohm}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: T.15}, W3: {from: T.1, to: R2.1}, "
             "W4: {from: R2.2, to: B.-}",
             NULL);
    assert_string_equal(desk_says(&d, NULL, NULL, "T", NULL), "off");
    desk_near(amps(&d, "T:primary-ground-leak=10ohm"), 12 / 13.012, 2e-3, "Ohm");
    desk_near(desk_volts(&d, NULL, "T:primary-ground-leak=10ohm", "T.1", NULL), 120 / 13.012, 2e-3,
              "divider");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_carry_what_the_manual_says),
        cmocka_unit_test(each_fault_has_its_current),
        cmocka_unit_test(its_secondary_shows_when_current_flows_there),
        cmocka_unit_test(a_leak_at_terminal_1_feeds_the_coil),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
