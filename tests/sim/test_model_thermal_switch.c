/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thermal switches: closing or opening as they warm, hysteresis, failures. In the feed of 12 ohm
 * from 12 V ideal.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

static const char states[] = "cold: {engine: 60 degC}, between: {engine: 91 degC}, "
                             "hot: {engine: 96 degC}, cooling: {engine: 91 degC, from: hot}, "
                             "cool: {engine: 87 degC, from: hot}, boiling: {engine: 111 degC}";

static void set(desk *d, const char *temperatures) {
    char parts[300];
    snprintf(parts, sizeof parts,
             "B: {kind: source, emf: 12 V}, S: {kind: thermal-switch%s}, "
             "R: {kind: resistor, resistance: 12 ohm}",
             temperatures);
    desk_set(d, parts,
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: B.-}",
             states);
}

static void check(desk *d, const char *state, const char *fault, bool closed) {
    char what[80];
    snprintf(what, sizeof what, "%s, %s", fault ? fault : "healthy", state);
    desk_near(desk_volts(d, state, fault, "R.1", NULL), closed ? 11.98 : 0, 0.02, what);
    assert_string_equal(desk_says(d, state, fault, "S", NULL), closed ? "closed" : "open");
}

/* Closes at 95, opens at 88 degC (data-sheet typical of fan switches, from memory): at 91 degC it
 * is as it was before. */
static void test_fan_switch(void **state) {
    (void)state;
    desk d;
    set(&d, ", closes: 95 degC, opens: 88 degC");
    check(&d, "cold", NULL, false);
    check(&d, "between", NULL, false);
    check(&d, "hot", NULL, true);
    check(&d, "cooling", NULL, true);
    check(&d, "cool", NULL, false);
    desk_clear(&d);
}

/* Opens at 95, closes at 88 degC: the other way round. */
static void test_opening_switch(void **state) {
    (void)state;
    desk d;
    set(&d, ", closes: 88 degC, opens: 95 degC");
    check(&d, "cold", NULL, true);
    check(&d, "between", NULL, true);
    check(&d, "hot", NULL, false);
    check(&d, "cooling", NULL, false);
    check(&d, "cool", NULL, true);
    desk_clear(&d);
}

static void test_faults(void **state) {
    (void)state;
    desk d;
    set(&d, "");
    check(&d, "hot", "S:stuck-open", false);
    check(&d, "cold", "S:stuck-closed", true);
    check(&d, "hot", "S:shifted=110degC", false);
    check(&d, "boiling", "S:shifted=110degC", true);
    check(&d, "cold", "S:shifted=50degC", true);
    /* 12 * 12 / 13.01 */
    desk_near(desk_volts(&d, "hot", "S:resistance=1ohm", "R.1", NULL), 11.068, 0.02, "burnt");
    desk_clear(&d);
}

/* One that feels the cabin does not mind the engine. */
static void test_feels(void **state) {
    (void)state;
    desk d;
    set(&d, ", feels: ambient");
    check(&d, "boiling", NULL, false);
    d.question.ambient = 100;
    check(&d, "cold", NULL, true);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_fan_switch),
                                       cmocka_unit_test(test_opening_switch),
                                       cmocka_unit_test(test_faults), cmocka_unit_test(test_feels)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
