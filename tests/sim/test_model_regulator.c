/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A 5 V regulator on 12 V with 1 kohm on its output. It draws 12 V / 5 mA = 2.4 kohm, and watches
 * its output through 50 kohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

#define PARTS(emf, more, load)                                                                     \
    "B: {kind: source, emf: " emf "}, A: {kind: regulator" more "}, "                              \
    "R: {kind: resistor, resistance: " load "}"
#define WIRES                                                                                      \
    "W1: {from: B.+, to: A.15}, W2: {from: A.31, to: B.-}, W3: {from: A.out, to: R.1}, "           \
    "W4: {from: R.2, to: B.-}"

static void check(desk *d, const char *fault, double volts, double within, const char *says) {
    const char *what = fault ? fault : "healthy";
    desk_near(desk_volts(d, NULL, fault, "A.out", NULL), volts, within, what);
    assert_string_equal(desk_says(d, NULL, fault, "A", NULL), says);
}

/* 5 V less 5 mA through 0.1 ohm, whatever the feed; 8 and 9 V for Hall sensors alike. */
static void it_holds_its_voltage(void **state) {
    (void)state;
    static const struct {
        const char *emf;
        double volts;
        const char *says;
    } feeds[] = {{"16 V", 4.9995, "normal"},
                 {"12 V", 4.9995, "normal"},
                 {"5.5 V", 4.9995, "normal"},
                 /* Below that it follows its feed: 4.5 V less 0.3 V of drop-out. */
                 {"4.5 V", 4.1996, "low"},
                 {"1 V", 0.6999, "dead"}};
    for (size_t i = 0; i < sizeof feeds / sizeof feeds[0]; i++) {
        desk d;
        char parts[300];
        snprintf(parts, sizeof parts, PARTS("%s", "", "1 kohm"), feeds[i].emf);
        desk_set(&d, parts, WIRES, NULL);
        check(&d, NULL, feeds[i].volts, 1e-3, feeds[i].says);
        desk_clear(&d);
    }
    desk d;
    desk_set(&d, PARTS("12 V", ", volts: 8 V", "1 kohm"), WIRES, NULL);
    check(&d, NULL, 7.9992, 1e-3, "normal");
    desk_clear(&d);
    desk_set(&d, PARTS("12 V", ", volts: 9 V", "1 kohm"), WIRES, NULL);
    check(&d, NULL, 8.9991, 1e-3, "normal");
    desk_clear(&d);
}

/* 100 ohm in its ground carry (12 V - v) / 2400 + 0.1 mA of the divider: v = 0.51 / (1 + 1 / 24) =
 * 0.4896 V, and the output stands that much higher. With no ground at all pin 31 follows the feed,
 * and the output goes with it. */
static void it_stands_on_its_own_ground(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12 V", "", "1 kohm"), WIRES, NULL);
    check(&d, "A.31:resistance=100ohm", 5.4891, 3e-3, "normal");
    check(&d, "A.31:open", 11.70, 0.01, "dead");
    check(&d, "A.15:open", 0, 1e-3, "dead");
    desk_clear(&d);
}

/* 10 ohm would take 0.5 A: the limit of 0.1 A leaves 1 V, and a hard short nothing. */
static void its_current_is_limited(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12 V", "", "10 ohm"), WIRES, NULL);
    check(&d, NULL, 1, 0.01, "limited");
    check(&d, "R:short", 0, 1e-3, "limited");
    /* The current comes from the feed: 0.1 A beside 5 mA for itself. */
    check(&d, "A.15:resistance=50ohm", 1, 0.01, "limited");
    desk_near(desk_volts(&d, NULL, "A.15:resistance=50ohm", "A/15", NULL), 12 - 50 * 0.1032, 0.05,
              "drop in its feed");
    desk_clear(&d);
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("12 V", "", "1 kohm"), WIRES, NULL);
    check(&d, "A:no-output", 0, 1e-3, "off");
    check(&d, "A:shorted=1ohm", 12 * 1000.0 / 1001, 0.02, "high");
    check(&d, "A:off-value=85%", 4.25, 2e-3, "low");
    check(&d, "A:weak=2%", 1.961, 0.01, "limited");      /* 2 mA into 1 kohm and the divider */
    check(&d, "A:loaded=10ohm", 0.990, 0.01, "limited"); /* 0.1 A into 9.9 ohm */
    /* A sensor wire that chafes on the feed lifts the supply of all. */
    check(&d, "W3:short-to-feed=1ohm", 12 * 1000.0 / 1001, 0.02, "high");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_holds_its_voltage),
        cmocka_unit_test(it_stands_on_its_own_ground),
        cmocka_unit_test(its_current_is_limited),
        cmocka_unit_test(each_fault_has_its_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
