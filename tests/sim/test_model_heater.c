/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A heater of 160 W at 13.5 V whose resistance rises by 15 %: 11.85 A, 1.139 ohm warm, 0.9905 ohm
 * cold. By hand: R = R0 (1 + 0.15 P / 160 W), P and R tried until they agree. A shunt of 1 mohm,
 * two pins and the element's own joint add 6 mohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS(emf, heater)                                                                         \
    "B: {kind: source, emf: " emf                                                                  \
    "}, R1: {kind: resistor, resistance: 1 mohm}, H: {kind: heater, " heater "}"
#define WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: H.1}, W3: {from: H.2, to: B.-}"

static double amps(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "R1.1", "R1.2") / 0.001;
}

static void says(desk *d, const char *faults, const char *id, double share) {
    double value;
    assert_string_equal(desk_says(d, NULL, faults, "H", &value), id);
    desk_near(value, share, 0.01, faults ? faults : "healthy");
}

/* At half the voltage 44.2 W make it 0.9905 * 1.0414 = 1.0315 ohm: 6.75 / 1.0375 = 6.51 A. */
static void resistance_rises_with_its_heat(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("13.5 V", "power: 160 W"), WIRES, NULL);
    desk_near(amps(&d, NULL), 11.80, 0.02, "rated, less its joints");
    says(&d, NULL, "normal", 0.99);
    desk_clear(&d);
    desk_set(&d, PARTS("6.75 V", "power: 160 W"), WIRES, NULL);
    desk_near(amps(&d, NULL), 6.51, 0.01, "half the voltage");
    says(&d, NULL, "weak", 0.273);
    desk_clear(&d);
}

/* What an ohmmeter sees is the cold element, behind leads of 0.2 ohm. */
static void an_ohmmeter_reads_it_cold(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 11 V}, S: {kind: switch, positions: {off: [], on: [[1, 2]]}}, "
             "H: {kind: heater, power: 160 W}",
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: H.1}, W3: {from: H.2, to: B.-}", NULL);
    assert_true(bp_instrument_find("ohms", &d.question.instrument));
    desk_near(desk_volts(&d, NULL, NULL, "H/1", "H/2"), 1.192, 0.005, "cold");
    desk_clear(&d);
}

static void each_fault_of_a_heater(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("13.5 V", "power: 160 W"), WIRES, NULL);
    says(&d, "H:open", "off", 0);
    /* 60 % of the lines: 0.6 of the current, 1.898 + 0.006 ohm. */
    desk_near(amps(&d, "H:partly-broken=40%"), 7.09, 0.02, "lines broken");
    says(&d, "H:partly-broken=40%", "weak", 0.596);
    /* 60 % of the coils, 0.594 ohm cold: 226 W make them 0.5943 (1 + 0.15 * 226 / 96) = 0.805 ohm;
     * 6 mohm more take a hundredth off. */
    desk_near(amps(&d, "H:partly-shorted=40%"), 16.68, 0.05, "coils bridged");
    says(&d, "H:partly-shorted=40%", "hot", 1.398);
    /* 45.2 W make it 1.0325 ohm: 13.5 / 2.0375. */
    desk_near(amps(&d, "H:resistance=1ohm"), 6.626, 0.02, "bad joint");
    says(&d, "H:resistance=1ohm", "weak", 0.283);
    /* Shunt and pin, 3 mohm, drop 18.5 A * 3 mohm = 55 mV: 13.445 / 2 = 6.72 A, and the element
     * loses a hundredth of an ampere. */
    desk_near(amps(&d, "H:ground-leak=2ohm") - amps(&d, NULL), 6.71, 0.02, "Ohm");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(resistance_rises_with_its_heat),
        cmocka_unit_test(an_ohmmeter_reads_it_cold),
        cmocka_unit_test(each_fault_of_a_heater),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
