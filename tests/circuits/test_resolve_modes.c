/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the resistance of wires and grounds begins to be a fault, against what cables carry.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <backprobe/load.h>

#include "circuits/fault.h"
#include "tests/circuits/files.h"

/* A starter and lamps on a battery; %s is the size of the starter's cable. */
static bp_circuit *load(const char *size) {
    char text[1200];
    const int n =
        snprintf(text, sizeof text,
                 "backprobe: 1\nid: cables\ntitle: Cables\nparts:\n  BAT: {kind: battery}\n"
                 "  M: {kind: starter}\n  S: {kind: switch, positions: {off: [], on: [[1, 2]]}}\n"
                 "  L: {kind: lamp, power: 21 W}\n  P: {kind: lamp, power: 5 W}\n"
                 "  G0: {kind: ground}\n  G1: {kind: ground, on: engine}\n"
                 "  G2: {kind: ground, on: engine}\n  G3: {kind: ground}\n"
                 "  G4: {kind: ground}\n  G5: {kind: ground, on: engine}\n"
                 "wires:\n  W1: {from: BAT.+, to: M.30, size: %s, length: 1.2 m}\n"
                 "  W2: {from: BAT.-, to: G1, size: 35 mm2, length: 0.9 m}\n"
                 "  W3: {from: BAT.-, to: G0, size: 6 mm2, length: 0.4 m}\n"
                 "  W4: {from: G4, to: G5, size: 16 mm2, length: 0.4 m}\n"
                 "  W5: {from: M.31, to: G2}\n"
                 "  W6: {from: BAT.+, to: S.1, size: 2.5 mm2, length: 1 m}\n"
                 "  W7: {from: S.2, to: M.50, size: 2.5 mm2, length: 1 m}\n"
                 "  W8: {from: BAT.+, to: L.1, size: 1.5 mm2, length: 1 m}\n"
                 "  W9: {from: L.2, to: G3, size: 1.5 mm2, length: 1 m}\n"
                 "  W10: {from: BAT.+, to: P.1, size: 16 mm2, length: 1 m}\n"
                 "  W11: {from: P.2, to: G3}\n",
                 size);
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    if (bp_load_text(text, (size_t)n, "cables", &circuit, report) != BP_OK)
        fail_msg("%s", files_messages(report));
    bp_report_free(&report);
    return circuit;
}

static const bp_mode_decl *mode_of(const bp_circuit *c, const char *fault) {
    bp_fault_case faults;
    char why[400];
    if (bp_fault_parse(c, fault, &faults, why, sizeof why) != BP_OK)
        fail_msg("%s: %s", fault, why);
    return bp_fault_mode(c, &faults.fault[0]);
}

/* Continuous amperes of stranded copper at 30 degC, DIN VDE 0298-4 (from memory): at them a faulty
 * connection drops a tenth of a volt to begin with, and about a volt typically (common practice:
 * 0.1 V a connection is let pass; on the way to a starter more than half a volt is not). To one
 * figure, it may be off by a half. */
static void cables_begin_at_a_tenth_of_a_volt(void **state) {
    (void)state;
    static const struct {
        const char *size;
        double amps;
    } row[] = {{"10 mm2", 73}, {"16 mm2", 98}, {"25 mm2", 129}, {"35 mm2", 158}, {"50 mm2", 198}};
    double last = 0.05;
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        bp_circuit *c = load(row[i].size);
        const bp_mode_decl *mode = mode_of(c, "W1:resistance");
        const double least = mode->lo * row[i].amps, typical = mode->typical * row[i].amps;
        if (!(least > 0.07 && least < 0.15 && typical > 0.5 && typical < 1.5))
            fail_msg("%s: from %g V, typically %g V", row[i].size, least, typical);
        assert_true(mode->lo <= last && mode->hi == 1000);
        last = mode->lo;
        bp_circuit_free(&c);
    }
}

/* What carries some amperes keeps the range of its kind: a lamp notices nothing of milliohms. */
static void thin_wires_keep_theirs(void **state) {
    (void)state;
    bp_circuit *c = load("6 mm2");
    static const char *const faults[] = {"W1:resistance", "W5:resistance", "W6:resistance",
                                         "G0:resistance", "G2:resistance", "G3:resistance"};
    for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
        const bp_mode_decl *mode = mode_of(c, faults[i]);
        if (mode->lo != 0.05 || mode->typical != 1)
            fail_msg("%s: %g, %g", faults[i], mode->lo, mode->typical);
    }
    bp_circuit_free(&c);
}

/* An eyelet carries what its cable does; that of the starter's flange, what the starter's cable
 * does; a lamp is plugged and not bolted, whatever leads to it. */
static void grounds_follow_their_cable(void **state) {
    (void)state;
    bp_circuit *c = load("35 mm2");
    static const char *const same[][2] = {{"G1", "W1"}, {"G2", "W1"}, {"G4", "W4"}, {"G5", "W4"}};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char ground[40], wire[40];
        snprintf(ground, sizeof ground, "%s:resistance", same[i][0]);
        snprintf(wire, sizeof wire, "%s:resistance", same[i][1]);
        const bp_mode_decl *g = mode_of(c, ground), *w = mode_of(c, wire);
        if (g->lo != w->lo || g->typical != w->typical || g->hi != 100)
            fail_msg("%s: %g, %g", ground, g->lo, g->typical);
    }
    assert_true(mode_of(c, "G0:resistance")->lo == 0.05);
    assert_true(mode_of(c, "G3:resistance")->lo == 0.05);
    bp_circuit_free(&c);
}

/* The same mode of two parts has ranges of its own; a value is read by its own part's. */
static void values_are_read_in_the_parts_own_range(void **state) {
    (void)state;
    bp_circuit *c = load("35 mm2");
    bp_fault_case faults;
    char why[400];
    assert_int_equal(bp_fault_parse(c, "W1:resistance=2mohm", &faults, why, sizeof why), BP_OK);
    assert_true(fabs(faults.fault[0].severity - 2e-3) < 1e-12);
    assert_int_equal(bp_fault_parse(c, "W8:resistance=2mohm", &faults, why, sizeof why),
                     BP_ERR_INPUT);
    assert_non_null(strstr(why, "50 mΩ"));
    assert_int_equal(bp_fault_parse(c, "W1:resistance=0.1mohm", &faults, why, sizeof why),
                     BP_ERR_INPUT);
    assert_non_null(strstr(why, "600 µΩ"));
    bp_circuit_free(&c);
}

static size_t grid_of(const bp_circuit *c, const char *text, double *grid) {
    bp_fault_case faults;
    char why[400];
    assert_int_equal(bp_fault_parse(c, text, &faults, why, sizeof why), BP_OK);
    return bp_fault_grid(c, &faults.fault[0], grid);
}

/* A longer range is not tried more coarsely: the values of a cable above 50 mohm are those of a
 * thin wire (but for the typical one of that), those below are at most half a step further apart.
 */
static void longer_ranges_are_tried_as_finely(void **state) {
    (void)state;
    bp_circuit *c = load("35 mm2");
    double cable[BP_FAULT_MOST_GRID], thin[BP_FAULT_MOST_GRID];
    const size_t n = grid_of(c, "W1:resistance", cable), m = grid_of(c, "W8:resistance", thin);
    assert_int_equal(m, 9);
    assert_true(n > m && n <= BP_FAULT_MOST_GRID);
    for (size_t i = 0; i < m; i++)
        assert_true(thin[i] == 1 || fabs(cable[n - m + i] / thin[i] - 1) < 1e-9);
    const double ratio = pow(1000 / 0.05, 1.0 / 8);
    bool typical = false;
    for (size_t i = 0; i + 1 < n; i++) {
        assert_true(cable[i + 1] > cable[i] && cable[i + 1] / cable[i] < pow(ratio, 1.5 + 1e-9));
        typical = typical || fabs(cable[i] - 6e-3) < 1e-12;
    }
    assert_true(typical && cable[0] == mode_of(c, "W1:resistance")->lo);
    bp_circuit_free(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cables_begin_at_a_tenth_of_a_volt),
        cmocka_unit_test(thin_wires_keep_theirs),
        cmocka_unit_test(grounds_follow_their_cable),
        cmocka_unit_test(values_are_read_in_the_parts_own_range),
        cmocka_unit_test(longer_ranges_are_tried_as_finely),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
