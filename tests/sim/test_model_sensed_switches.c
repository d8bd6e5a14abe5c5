/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pressure and level switches in the feed of 12 ohm from 12 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define WIRES "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: B.-}"
#define PARTS(kind)                                                                                \
    "B: {kind: source, emf: 12 V}, S: {kind: " kind "}, R: {kind: resistor, resistance: 12 ohm}"

static void check(desk *d, const char *state, const char *fault, double volts, const char *says) {
    desk_near(desk_volts(d, state, fault, "R.1", NULL), volts, 2e-3, fault ? fault : state);
    assert_string_equal(desk_says(d, state, fault, "S", NULL), says);
}

/* An oil warning switch: closed until pressure comes, 12 * 12 / (12 + 0.05 + 2 * 0.002). */
static void pressure_opens_or_closes_it(void **state) {
    (void)state;
    desk d;
    const char *states = "stopped: {}, running: {S: pressure}";
    desk_set(&d, PARTS("pressure-switch"), WIRES, states);
    check(&d, "stopped", NULL, 144 / 12.054, "closed");
    check(&d, "running", NULL, 0, "open");
    check(&d, "stopped", "S:stuck-open", 0, "open");
    check(&d, "running", "S:stuck-closed", 144 / 12.054, "closed");
    check(&d, "stopped", "S:resistance=500ohm", 144 / 512.054, "closed");
    check(&d, "running", "S:leak=200ohm", 144 / 212.004, "open");
    desk_clear(&d);
    desk_set(&d, PARTS("pressure-switch, contact: closes"), WIRES, states);
    check(&d, "stopped", NULL, 0, "open");
    check(&d, "running", NULL, 144 / 12.054, "closed");
    desk_clear(&d);
}

/* A brake fluid switch: closes when the level is low, 0.15 ohm of reed contact. */
static void a_low_level_closes_or_opens_it(void **state) {
    (void)state;
    desk d;
    const char *states = "filled: {}, low: {S: low}";
    desk_set(&d, PARTS("level-switch"), WIRES, states);
    check(&d, "filled", NULL, 0, "open");
    check(&d, "low", NULL, 144 / 12.154, "closed");
    check(&d, "low", "S:stuck-open", 0, "open");
    check(&d, "filled", "S:stuck-closed", 144 / 12.154, "closed");
    check(&d, "low", "S:resistance=500ohm", 144 / 512.154, "closed");
    check(&d, "filled", "S:leak=200ohm", 144 / 212.004, "open");
    desk_clear(&d);
    desk_set(&d, PARTS("level-switch, contact: opens"), WIRES, states);
    check(&d, "filled", NULL, 144 / 12.154, "closed");
    check(&d, "low", NULL, 0, "open");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pressure_opens_or_closes_it),
        cmocka_unit_test(a_low_level_closes_or_opens_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
