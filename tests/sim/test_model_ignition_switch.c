/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition switch: which of 75, 15, 15x and 50 are live in each position by DIN 72552, and under
 * each failure. Each contact feeds 12 ohm from 12 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

static const char *const loads[] = {"R75.1", "R15.1", "R15x.1", "R50.1"};
static const char *const states[] = {"off", "accessory", "run", "crank"};

static void set(desk *d) {
    desk_set(
        d,
        "B: {kind: source, emf: 12 V}, S: {kind: ignition-switch}, "
        "R75: {kind: resistor, resistance: 12 ohm}, R15: {kind: resistor, resistance: 12 ohm}, "
        "R15x: {kind: resistor, resistance: 12 ohm}, R50: {kind: resistor, resistance: 12 ohm}",
        "W0: {from: B.+, to: S.30}, W1: {from: S.75, to: R75.1}, W2: {from: S.15, to: R15.1}, "
        "W3: {from: S.15x, to: R15x.1}, W4: {from: S.50, to: R50.1}, "
        "W5: {from: R75.2, to: B.-}, W6: {from: R15.2, to: B.-}, W7: {from: R15x.2, to: B.-}, "
        "W8: {from: R50.2, to: B.-}",
        "off: {}, accessory: {S: accessory}, run: {S: run}, crank: {S: crank}");
}

/* What is live in off, accessory, run, crank: a word of four letters each, in the order of `loads`,
 * 'L' live, '-' dead. */
static void check(desk *d, const char *fault, const char *const live[4]) {
    for (size_t s = 0; s < 4; s++)
        for (size_t i = 0; i < 4; i++) {
            char what[80];
            snprintf(what, sizeof what, "%s, %s, %s", fault ? fault : "healthy", states[s],
                     loads[i]);
            bool is_live = live[s][i] == 'L';
            desk_near(desk_volts(d, states[s], fault, loads[i], NULL), is_live ? 11.98 : 0, 0.02,
                      what);
        }
}

static void test_positions(void **state) {
    (void)state;
    static const struct {
        const char *fault;
        const char *live[4];
    } table[] = {
        /* 75, 15, 15x, 50 */
        {NULL, {"----", "L---", "LLL-", "-L-L"}},
        {"S:open-15", {"----", "L---", "L-L-", "---L"}},
        {"S:dead-in-crank-15", {"----", "L---", "LLL-", "---L"}},
        {"S:dead-in-run-15", {"----", "L---", "L-L-", "-L-L"}},
        {"S:stuck-on-15", {"-L--", "LL--", "LLL-", "-L-L"}},
        {"S:open-50", {"----", "L---", "LLL-", "-L--"}},
        {"S:stuck-on-50", {"---L", "L--L", "LLLL", "-L-L"}},
        {"S:open-75", {"----", "----", "-LL-", "-L-L"}},
        {"S:open-15x", {"----", "L---", "LL--", "-L-L"}},
    };
    desk d;
    set(&d);
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        check(&d, table[i].fault, table[i].live);
    desk_clear(&d);
}

/* 1 ohm in one contact: 12 * 12 / 13 = 11.077 V there, the others as before. */
static void test_burnt(void **state) {
    (void)state;
    desk d;
    set(&d);
    desk_near(desk_volts(&d, "crank", "S:resistance-50=1ohm", "R50.1", NULL), 11.077, 0.02, "50");
    desk_near(desk_volts(&d, "crank", "S:resistance-50=1ohm", "R15.1", NULL), 11.98, 0.02, "15");
    desk_near(desk_volts(&d, "run", "S:resistance-15=1ohm", "R15.1", NULL), 11.077, 0.02, "15");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_positions),
                                       cmocka_unit_test(test_burnt)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
