/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thermistors against the tables of data sheets.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"
#include "sim/ntc.h"

/* Table of a data sheet: the curve through 0, 25 and 50 degC has the coefficients that Steinhart
 * and Hart's equation gives, and must return the rows between. */
static void the_curve_returns_the_table(void **state) {
    (void)state;
    const bp_ntc ntc = bp_ntc_fit((const double[]){0, 25, 50}, (const double[]){32128, 9814, 3542});
    desk_near(ntc.a, 1.104159e-3, 1e-9, "A");
    desk_near(ntc.b, 2.389179e-4, 1e-10, "B");
    desk_near(ntc.c, 6.931627e-8, 1e-13, "C");
    static const struct {
        double celsius, ohm;
    } table[] = {{0, 32128}, {10, 19549}, {20, 12262}, {25, 9814}, {30, 7908}, {50, 3542}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        desk_near(bp_ntc_ohm(&ntc, table[i].celsius), table[i].ohm, 1, "table of a data sheet");
}

#define WIRES "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: S.1}, W3: {from: S.2, to: B.-}"

static void set(desk *d, const char *more) {
    char parts[200];
    snprintf(parts, sizeof parts,
             "B: {kind: source, emf: 5 V}, R: {kind: resistor, resistance: 1 kohm}, "
             "S: {kind: thermistor%s}",
             more);
    desk_set(d, parts, WIRES,
             "freezing: {engine: 0 degC}, cold: {engine: 20 degC}, warm: {engine: 80 degC}, "
             "hot: {engine: 100 degC}");
}

/* Behind 1 kohm from 5 V, beside the meter's 10 Mohm. */
static void check(desk *d, const char *state, const char *fault, double ohm, double share) {
    double seen = ohm / (1 + ohm / 10e6), want = 5 * seen / (1000 + seen);
    desk_near(desk_volts(d, state, fault, "S.1", NULL), want, share * want + 1e-4,
              fault ? fault : state);
}

/* Coolant sender (from memory): 5896 ohm at 0 degC, 2500 at 20, 323 at 80, 186 at 100. The row of
 * 80 degC is not among those that the curve goes through. */
static void a_coolant_sensor_follows_its_table(void **state) {
    (void)state;
    desk d;
    set(&d, "");
    check(&d, "freezing", NULL, 5896, 1e-4);
    check(&d, "cold", NULL, 2500, 1e-4);
    check(&d, "warm", NULL, 323, 4e-3);
    check(&d, "hot", NULL, 186, 1e-4);
    desk_clear(&d);
}

/* One that feels the cabin does not mind the engine; scale halves it. */
static void curves_and_places(void **state) {
    (void)state;
    desk d;
    set(&d, ", curve: air, feels: ambient");
    d.question.ambient = 10;
    check(&d, "hot", NULL, 19549, 1e-4);
    desk_clear(&d);
    set(&d, ", scale: 50 %");
    check(&d, "cold", NULL, 1250, 1e-4);
    desk_clear(&d);
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    set(&d, "");
    check(&d, "cold", "S:open", 1e12, 1e-4);
    check(&d, "cold", "S:short", 5e-3, 1e-4);
    check(&d, "cold", "S:drifted=250%", 6250, 1e-4);
    check(&d, "cold", "S:ground-leak=300ohm", 1 / (1 / 2500.0 + 1 / 300.0), 1e-4);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_curve_returns_the_table),
        cmocka_unit_test(a_coolant_sensor_follows_its_table),
        cmocka_unit_test(curves_and_places),
        cmocka_unit_test(each_fault_has_its_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
