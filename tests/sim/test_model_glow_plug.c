/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A glow plug of 12 A at 11 V, cold 2.5 times less resistance: 0.3667 ohm. By hand:
 * R = 0.3667 (1 + 1.5 P / 132 W), P and R tried until they agree. A shunt of 1 mohm, two bolted
 * ends and the element's own joint add 2.6 mohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: G.1}, W3: {from: G.31, to: B.-}"
#define PARTS(emf)                                                                                 \
    "B: {kind: source, emf: " emf                                                                  \
    "}, R1: {kind: resistor, resistance: 1 mohm}, G: {kind: glow-plug}"

static double amps(desk *d, const char *faults) {
    return desk_volts(d, NULL, faults, "R1.1", "R1.2") / 0.001;
}

static void says(desk *d, const char *faults, const char *id, double share) {
    double value;
    assert_string_equal(desk_says(d, NULL, faults, "G", &value), id);
    desk_near(value, share, 0.01, faults ? faults : "healthy");
}

/* Glowing 12 A, though 11 V over what an ohmmeter reads would be 30 A. */
static void it_takes_less_hot_than_cold(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("11 V"), WIRES, NULL);
    desk_near(amps(&d, NULL), 11.98, 0.03, "rated");
    says(&d, NULL, "normal", 0.995);
    desk_clear(&d);
    desk_set(&d,
             "B: {kind: source, emf: 11 V}, S: {kind: switch, positions: {off: [], on: [[1, 2]]}}, "
             "G: {kind: glow-plug}",
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: G.1}, W3: {from: G.31, to: B.-}", NULL);
    assert_true(bp_instrument_find("ohms", &d.question.instrument));
    desk_near(desk_volts(&d, NULL, NULL, "G/1", "G/31"), 0.568, 0.003,
              "cold behind leads of 0.2 ohm");
    desk_clear(&d);
}

static void each_fault_of_a_glow_plug(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("11 V"), WIRES, NULL);
    says(&d, "G:open", "off", 0);
    desk_near(amps(&d, "G:open"), 0, 1e-3, "burnt through");
    /* 0.1 ohm beside a cold element that has 0.9167 ohm while it glows, and 2.6 mohm before both.
     */
    desk_near(amps(&d, "G:short=0.1ohm"), 11 / (1 / (10 + 1 / 0.89) + 0.0026), 2,
              "touches its sheath");
    /* 59.8 W make it 0.616 ohm: 11 / 1.118. */
    desk_near(amps(&d, "G:resistance=0.5ohm"), 9.84, 0.03, "aged");
    says(&d, "G:resistance=0.5ohm", "weak", 0.452);
    /* 132 W at 23 V are 5.74 A, 1.603 ohm cold; 48.6 W make it 1.603 (1 + 1.5 * 48.6 / 132) =
     * 2.488 ohm: 4.42 A. */
    desk_near(amps(&d, "G:wrong-voltage=23V"), 4.42, 0.02, "for 24 V");
    says(&d, "G:wrong-voltage=23V", "weak", 0.367);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_takes_less_hot_than_cold),
        cmocka_unit_test(each_fault_of_a_glow_plug),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
