/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The way of the current, in circuits whose currents are worked by hand.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/path.h"

/* Two loads behind one fuse, each with a plug, back over one ground:
 *
 *     BAT+ -W1- F1 -W2- J1 -W3- C1.1 -W4- R1 -W5- C1.2 -W6- G1 ... G0 -W9- BAT-
 *                        +--W7- S1 -W8- R2 -W10- G1
 */
static bp_circuit *two_loads(const char *second_ohm) {
    bp_report *report = bp_report_new();
    bp_circuit *c = bp_circuit_new("two-loads", report);
    static const char *const parts[][2] = {
        {"BAT", "battery"},  {"F1", "fuse"},     {"J1", "splice"},
        {"C1", "connector"}, {"R1", "resistor"}, {"R2", "resistor"},
        {"S1", "switch"},    {"G0", "ground"},   {"G1", "ground"}};
    static const char *const wires[][3] = {{"W1", "BAT.+", "F1.1"}, {"W2", "F1.2", "J1"},
                                           {"W3", "J1", "C1.a1"},   {"W4", "C1.b1", "R1.1"},
                                           {"W5", "R1.2", "C1.b2"}, {"W6", "C1.a2", "G1"},
                                           {"W7", "J1", "S1.1"},    {"W8", "S1.2", "R2.1"},
                                           {"W10", "R2.2", "G1"},   {"W9", "G0", "BAT.-"}};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        bp_circuit_part(c, parts[i][0], parts[i][1]);
    bp_circuit_set(c, "F1", "rating", "20 A");
    bp_circuit_set(c, "C1", "cavities", "2");
    bp_circuit_set(c, "R1", "resistance", "4 ohm");
    bp_circuit_set(c, "R2", "resistance", second_ohm);
    const char *const closed[] = {"1", "2"};
    bp_circuit_position(c, "S1", "released", NULL, 0);
    bp_circuit_position(c, "S1", "pressed", closed, 1);
    for (size_t i = 0; i < sizeof wires / sizeof *wires; i++) {
        bp_circuit_wire(c, wires[i][0], wires[i][1], wires[i][2]);
        bp_circuit_set(c, wires[i][0], "size", "1 mm2");
        bp_circuit_set(c, wires[i][0], "length", "1 m");
    }
    bp_circuit_state(c, "off");
    bp_circuit_state(c, "on");
    bp_circuit_state_set(c, "on", "S1", "pressed");
    bp_status status = bp_circuit_finish(c);
    for (size_t i = 0; i < bp_report_count(report); i++)
        print_message("%s\n", bp_report_at(report, i)->text);
    assert_int_equal(status, BP_OK);
    bp_report_free(&report);
    return c;
}

/* Every wire has 10 mohm here, so that the sums are easy: 1 A drops 10 mV. */
static double ten_milliohm(const bp_part *wire) {
    (void)wire;
    return 0.01;
}

static void set_volts(const bp_circuit *c, double *volts, const char *face, double value) {
    size_t at = bp_face_find(c, face);
    assert_int_not_equal(at, BP_NONE);
    volts[bp_face_node(c, at)] = value;
}

/* What stands at both faces of each pin when R1 takes `a` and R2 takes `b` A; contacts drop 1 mV a
 * pin, the ground 1 mV, the connector and switch 2 mV. */
static double *by_hand(const bp_circuit *c, double a, double b, bool pressed) {
    double *v = calloc(c->n_nodes, sizeof *v), all = a + b, at = 12;
    set_volts(c, v, "BAT.+", at);
    set_volts(c, v, "BAT/+", at + 0.001);
    set_volts(c, v, "F1.1", at -= 0.01 * all);
    set_volts(c, v, "F1/1", at -= 0.001);
    set_volts(c, v, "F1/2", at -= 0.05);
    set_volts(c, v, "F1.2", at -= 0.001);
    set_volts(c, v, "J1", at -= 0.01 * all);
    double joint = at;
    set_volts(c, v, "C1.a1", at -= 0.01 * a);
    set_volts(c, v, "C1.b1", at -= 0.002);
    set_volts(c, v, "R1.1", at -= 0.01 * a);
    double ground = 0.01 * all + 0.002;
    set_volts(c, v, "R1.2", ground + 0.02 * a + 0.002);
    set_volts(c, v, "C1.b2", ground + 0.01 * a + 0.002);
    set_volts(c, v, "C1.a2", ground + 0.01 * a);
    set_volts(c, v, "S1.1", at = joint - 0.01 * b);
    set_volts(c, v, "S1/1", at - (pressed ? 0.001 : 0));
    set_volts(c, v, "S1/2", pressed ? at - 0.003 : ground);
    set_volts(c, v, "S1.2", pressed ? at - 0.004 : ground);
    set_volts(c, v, "R2.1", pressed ? at - 0.004 - 0.01 * b : ground);
    set_volts(c, v, "R2.2", ground + 0.01 * b);
    set_volts(c, v, "G1", ground);
    set_volts(c, v, "G1/body", ground - 0.001);
    set_volts(c, v, "G0", 0.01 * all);
    set_volts(c, v, "BAT.-", 0);
    set_volts(c, v, "BAT/-", -0.001);
    return v;
}

/* "BAT W1 F1 W2 W3 C1 ..." */
static void names(const bp_circuit *c, const bp_path *path, char *text, size_t size) {
    size_t used = 0, last = BP_NONE;
    text[0] = '\0';
    for (size_t i = 0; i < path->n; i++) {
        if (path->steps[i].part != last)
            used += (size_t)snprintf(text + used, size - used, "%s%s", used ? " " : "",
                                     c->parts[path->steps[i].part].id);
        last = path->steps[i].part;
    }
}

static void check(const char *second_ohm, double a, double b, size_t state, const char *way,
                  double amps) {
    bp_circuit *c = two_loads(second_ohm);
    double *volts = by_hand(c, a, b, state == 1);
    bp_path path;
    char text[200];
    assert_int_equal(bp_path_find(c, volts, ten_milliohm, state, &path), BP_OK);
    names(c, &path, text, sizeof text);
    assert_string_equal(text, way);
    if (path.n > 0)
        assert_true(fabs(path.amps - amps) < 1e-6);
    assert_true(fabs(bp_path_feed_amps(c, volts, ten_milliohm) - a - b) < 1e-6);
    bp_path_clear(&path);
    free(volts);
    bp_circuit_free(&c);
}

/* Out and back through the same connector: its cavities are not mixed up. */
static void test_one_load(void **state) {
    (void)state;
    check("6 ohm", 3, 0, 0, "BAT W1 F1 W2 W3 C1 W4 R1 W5 C1 W6 G1 G0 W9 BAT", 3);
}

static void test_larger_load(void **state) {
    (void)state;
    check("6 ohm", 3, 2, 1, "BAT W1 F1 W2 W3 C1 W4 R1 W5 C1 W6 G1 G0 W9 BAT", 3);
    check("2 ohm", 3, 6, 1, "BAT W1 F1 W2 W7 S1 W8 R2 W10 G1 G0 W9 BAT", 6);
}

static void test_nothing_flows(void **state) {
    (void)state;
    check("6 ohm", 0, 0, 0, "", 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_load),
        cmocka_unit_test(test_larger_load),
        cmocka_unit_test(test_nothing_flows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
