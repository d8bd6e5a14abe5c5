/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ground: high resistance lifts every load on it; open, the current finds a way through others.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

/* 12 V ideal. R1 (2 ohm) is fed; R2 (10 ohm) shares its ground G3 and is fed through an open
 * switch; R3 (5 ohm) sits beside R2 on that feed, with its own way back. Eyelets 0.3 mohm each. */
static void set(desk *d, const char *on) {
    char parts[600];
    snprintf(parts, sizeof parts,
             "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 2 ohm}, "
             "R2: {kind: resistor, resistance: 10 ohm}, R3: {kind: resistor, resistance: 5 ohm}, "
             "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}, "
             "G0: {kind: ground, on: %s}, G3: {kind: ground, on: %s}",
             on, on);
    desk_set(d, parts,
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: G3}, W3: {from: B.+, to: S.1}, "
             "W4: {from: S.2, to: R2.1}, W5: {from: R2.2, to: G3}, W6: {from: S.2, to: R3.1}, "
             "W7: {from: R3.2, to: B.-}, W8: {from: B.-, to: G0}",
             NULL);
}

static void test_faults(void **state) {
    (void)state;
    desk d;
    set(&d, "body");
    /* 12 / 2.0006 = 5.9982 A: 1.80 mV across one eyelet, 3.60 mV in all. */
    desk_near(desk_volts(&d, NULL, NULL, "G3", "G3/body"), 1.80e-3, 2e-5, "one eyelet");
    desk_near(desk_volts(&d, NULL, NULL, "G3", "B.-"), 3.60e-3, 3e-5, "two eyelets");
    /* 1.5 ohm more: the way over R2 and R3 is 15 ohm beside 1.5003 + 0.0003: 1.3641;
     * 12 / 3.3641 = 3.5671 A, 4.866 V at the eyelet. */
    desk_near(desk_volts(&d, NULL, "G3:resistance=1.5ohm", "G3", NULL), 4.866, 2e-3, "1.5 ohm");
    /* Open: 12 V over 2 + 10 + 5 ohm, 5 / 17 of it across R3, which is switched off. */
    desk_near(desk_volts(&d, NULL, "G3:open", "R3.1", NULL), 12 * 5 / 17.0, 1e-3,
              "through another load");
    desk_near(desk_volts(&d, NULL, "G3:open", "G3/body", NULL), 0, 1e-3, "the metal stays");
    desk_clear(&d);
}

/* On the engine the metal has another name, and the same physics. */
static void test_engine(void **state) {
    (void)state;
    desk d;
    set(&d, "engine");
    desk_near(desk_volts(&d, NULL, NULL, "G3", "G3/engine"), 1.80e-3, 2e-5, "one eyelet");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_faults),
                                       cmocka_unit_test(test_engine)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
