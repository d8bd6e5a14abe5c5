/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What wiring kinds add to their tables: colours, pins that depend on parameters, refusals.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include <backprobe/load.h>

#include "circuits/circuit.h"

/* Loads a circuit of the bodies of `parts:` and `wires:`; NULL with its mistakes in the report. */
static bp_circuit *load(const char *parts, const char *wires, bp_report *report) {
    char text[2000];
    bp_circuit *circuit = NULL;
    int n = snprintf(text, sizeof text,
                     "backprobe: 1\nid: tables\ntitle: Tables\nparts: {B: {kind: source, emf: 12 "
                     "V}, R: {kind: resistor, resistance: 1 ohm}, %s}\nwires: {W1: {from: B.+, to: "
                     "R.1}, W2: {from: R.2, to: B.-}, %s}\n",
                     parts, wires);
    bp_load_text(text, (size_t)n, "tables", &circuit, report);
    return circuit;
}

/* Exactly one mistake, which mentions `about`. */
static void refused(const char *parts, const char *wires, const char *about) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = load(parts, wires, report);
    assert_null(circuit);
    assert_int_equal(bp_report_count_of(report, BP_MISTAKE), 1);
    for (size_t i = 0; i < bp_report_count(report); i++)
        if (bp_report_at(report, i)->severity == BP_MISTAKE &&
            !strstr(bp_report_at(report, i)->text, about))
            fail_msg("\"%s\" does not speak of %s", bp_report_at(report, i)->text, about);
    bp_report_free(&report);
}

static bp_circuit *accepted(const char *parts, const char *wires) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = load(parts, wires, report);
    for (size_t i = 0; !circuit && i < bp_report_count(report); i++)
        print_error("  %s\n", bp_report_at(report, i)->text);
    assert_non_null(circuit);
    bp_report_free(&report);
    return circuit;
}

/* IEC 60757: each code alone, and two joined by an oblique stroke. */
static void test_colours(void **state) {
    (void)state;
    static const char *const good[] = {"BK", "BN", "RD", "OG", "YE", "GN",    "BU",
                                       "VT", "GY", "WH", "PK", "TQ", "RD/YE", "GN/YE"};
    static const char *const bad[] = {"RED", "rd", "RD/", "RD-YE", "XX", "RD/YE/BK", "R"};
    char wires[200];
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        snprintf(wires, sizeof wires,
                 "W3: {from: B.+, to: S.1}, W4: {from: S.2, to: B.-, colour: %s}", good[i]);
        bp_circuit *circuit = accepted("S: {kind: resistor, resistance: 1 ohm}", wires);
        bp_circuit_free(&circuit);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        snprintf(wires, sizeof wires,
                 "W3: {from: B.+, to: S.1}, W4: {from: S.2, to: B.-, colour: %s}", bad[i]);
        refused("S: {kind: resistor, resistance: 1 ohm}", wires, "IEC 60757");
    }
}

static void test_thermal_switch(void **state) {
    (void)state;
    const char *wires = "W3: {from: B.+, to: S.1}, W4: {from: S.2, to: R.1}";
    refused("S: {kind: thermal-switch, closes: 90 degC, opens: 90 degC}", wires, "one temperature");
    bp_circuit *circuit =
        accepted("S: {kind: thermal-switch, closes: 90 degC, opens: 95 degC}", wires);
    bp_circuit_free(&circuit);
}

/* Pins that depend on parameters: halves of a connector, the metal of a ground. */
static void test_pins(void **state) {
    (void)state;
    bp_circuit *circuit = accepted("C: {kind: connector, cavities: 3}, G1: {kind: ground}, "
                                   "G2: {kind: ground, on: engine}",
                                   "W3: {from: B.-, to: G1}, W4: {from: G2, to: G1}, "
                                   "W5: {from: B.+, to: C.a2}, W6: {from: C.b2, to: R.1}");
    const bp_part *c = &circuit->parts[bp_part_find(circuit, "C")];
    static const char *const names[] = {"a1", "a2", "a3", "b1", "b2", "b3"};
    assert_int_equal(c->n_pins, 6);
    for (size_t i = 0; i < 6; i++)
        assert_string_equal(c->pins[i].name, names[i]);
    assert_int_not_equal(bp_face_find(circuit, "G1/body"), BP_NONE);
    assert_int_not_equal(bp_face_find(circuit, "G2/engine"), BP_NONE);
    assert_int_not_equal(bp_face_node(circuit, bp_face_find(circuit, "G1")),
                         bp_face_node(circuit, bp_face_find(circuit, "G1/body")));
    bp_circuit_free(&circuit);
    refused("C: {kind: connector}", "W3: {from: B.+, to: C.a1}", "cavities");
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_colours),
                                       cmocka_unit_test(test_thermal_switch),
                                       cmocka_unit_test(test_pins)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
