/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a sheet says before it is drawn: marks, ranges, the way of the current, sums of drops,
 * sentences.
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

#include "render/sheet_facts.h"

/* A lamp behind a fuse and a plug, over a ground at the body. */
static const char lamp[] = "backprobe: 1\n"
                           "id: lamp\n"
                           "title: Work lamp\n"
                           "parts:\n"
                           "  BAT: {kind: battery, charge: 90 %}\n"
                           "  F1: {kind: fuse, rating: 10 A}\n"
                           "  S1: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}\n"
                           "  C1: {kind: connector, cavities: 2}\n"
                           "  E1: {kind: lamp, power: 55 W}\n"
                           "  G0: {kind: ground}\n"
                           "  G1: {kind: ground, label: rear sill}\n"
                           "wires:\n"
                           "  W1: {from: BAT.+, to: F1.1, size: 2.5 mm2, length: 0.5 m}\n"
                           "  W2: {from: F1.2, to: S1.1, size: 1.5 mm2, length: 1 m}\n"
                           "  W3: {from: S1.2, to: C1.a1, size: 1.5 mm2, length: 3 m}\n"
                           "  W4: {from: C1.b1, to: E1.1, size: 1.5 mm2, length: 0.3 m}\n"
                           "  W5: {from: E1.2, to: C1.b2, size: 1.5 mm2, length: 0.3 m}\n"
                           "  W6: {from: C1.a2, to: G1, size: 1.5 mm2, length: 0.5 m}\n"
                           "  W7: {from: BAT.-, to: G0, size: 16 mm2, length: 0.4 m}\n"
                           "states:\n"
                           "  off: {}\n"
                           "  on: {S1: pressed, from: off}\n"
                           "points:\n"
                           "  A: {at: S1.1}\n"
                           "  B: {at: S1.2}\n"
                           "  C: {at: E1.1}\n"
                           "  D: {at: E1.2}\n";

typedef struct bench {
    bp_report *report;
    bp_circuit *circuit;
    bp_lab *lab;
    bp_facts facts;
} bench;

static void open_bench(bench *b, const char *fault) {
    b->report = bp_report_new();
    b->circuit = NULL;
    assert_int_equal(bp_load_text(lamp, sizeof lamp - 1, "lamp.yaml", &b->circuit, b->report),
                     BP_OK);
    b->lab = bp_lab_new(b->circuit, 1, b->report);
    assert_non_null(b->lab);
    bp_sheet_options options = BP_SHEET_OPTIONS_INIT;
    options.faults = fault;
    assert_int_equal(bp_facts_gather(&b->facts, b->lab, &options, b->report), BP_OK);
}

static void close_bench(bench *b) {
    bp_facts_clear(&b->facts);
    bp_lab_free(&b->lab);
    bp_circuit_free(&b->circuit);
    bp_report_free(&b->report);
}

static const bp_drop *drop_between(const bp_facts *facts, const char *red, const char *black) {
    for (size_t i = 0; i < facts->drops.n; i++)
        if (strcmp(facts->drops.rows[i].red, red) == 0 &&
            strcmp(facts->drops.rows[i].black, black) == 0)
            return &facts->drops.rows[i];
    fail_msg("no drop from %s to %s", red, black);
    return NULL;
}

/* The state with the lamp on is drawn unasked, and its drops go along the current. */
static void test_way(void **state) {
    (void)state;
    bench b;
    open_bench(&b, NULL);
    assert_string_equal(b.circuit->states[b.facts.shown].id, "on");
    assert_string_equal(drop_between(&b.facts, "A", "B")->spans, "S1");
    assert_string_equal(drop_between(&b.facts, "B", "C")->spans, "W3, C1, W4");
    assert_string_equal(drop_between(&b.facts, "D", "battery −")->spans,
                        "W5, C1, W6, G1, G0, W7, BAT");
    const bp_drop *load = drop_between(&b.facts, "C", "D");
    assert_true(load->load);
    assert_string_equal(load->spans, "E1");
    close_bench(&b);
}

/* Kirchhoff: the drops around the loop make up what stands at the battery's posts. Each is a
 * reading of its own, with the meter's 10 Mohm across it. */
static void test_sum(void **state) {
    (void)state;
    bench b;
    open_bench(&b, "G1:resistance=1ohm");
    const bp_state_column *shown = &b.facts.columns[b.facts.column];
    assert_true(fabs(b.facts.drops.sum_good - shown->good->supply_volts) < 1e-3);
    assert_true(fabs(b.facts.drops.sum_fault - shown->fault->supply_volts) < 1e-3);
    close_bench(&b);
}

/* Common practice: 0.3 V a switch contact; two wires and a connection make 0.5 V, all that is
 * allowed on one side. */
static void test_most_allowed(void **state) {
    (void)state;
    bench b;
    open_bench(&b, NULL);
    assert_true(fabs(drop_between(&b.facts, "A", "B")->most - 0.3) < 1e-9);
    assert_true(fabs(drop_between(&b.facts, "B", "C")->most - 0.5) < 1e-9);
    /* A clamp and a fuse's blade are connections, the wire between them is a wire. */
    assert_true(fabs(drop_between(&b.facts, "battery +", "F1/1")->most - 0.4) < 1e-9);
    assert_true(isnan(drop_between(&b.facts, "C", "D")->most));
    close_bench(&b);
}

static bool says(const bp_words *words, const char *part) {
    for (size_t i = 0; i < words->n; i++)
        if (strstr(words->line[i], part))
            return true;
    for (size_t i = 0; i < words->n; i++)
        print_message("  %s\n", words->line[i]);
    return false;
}

/* A bad ground lifts the lamp's ground side, dims it, and is silent while the lamp is off. */
static void test_bad_ground(void **state) {
    (void)state;
    bench b;
    open_bench(&b, "G1:resistance=1ohm");
    const bp_state_column *shown = &b.facts.columns[b.facts.column];
    const bp_reading *good = bp_reading_of_point(shown->good, "D");
    const bp_reading *fault = bp_reading_of_point(shown->fault, "D");
    assert_int_equal(bp_reading_mark(good, fault), 1);
    assert_true(says(&b.facts.gives_away, "Point D reads"));
    assert_true(says(&b.facts.gives_away, "stand between D and battery −"));
    assert_true(says(&b.facts.gives_away, "D still reads good in: off."));
    assert_true(says(&b.facts.notices, "E1"));
    assert_true(b.facts.notices.strong[0]);
    close_bench(&b);
}

/* A short in the fuse's wire blows it; the sheet says so once. */
static void test_blown(void **state) {
    (void)state;
    bench b;
    open_bench(&b, "W3:short-to-ground");
    size_t n = 0;
    for (size_t i = 0; i < b.facts.notices.n; i++)
        n += strcmp(b.facts.notices.line[i], "F1 is blown.") == 0;
    assert_int_equal(n, 1);
    close_bench(&b);
}

static bp_reading reading(const char *display, double value, double low, double high) {
    bp_reading r = {.value = value, .low = low, .high = high, .unit = BP_UNIT_VOLT};
    snprintf(r.display, sizeof r.display, "%s", display);
    return r;
}

/* What the display cannot tell from the end of the range is not marked. */
static void test_marks(void **state) {
    (void)state;
    bp_reading good = reading("12.41 V", 12.41, 12.304, 12.496);
    bp_reading fault = reading("", 12.4999, NAN, NAN);
    assert_int_equal(bp_reading_mark(&good, &fault), 0);
    fault.value = 12.52;
    assert_int_equal(bp_reading_mark(&good, &fault), 1);
    fault.value = 12.29;
    assert_int_equal(bp_reading_mark(&good, &fault), -1);
    fault.status = BP_READING_NONE;
    assert_int_equal(bp_reading_mark(&good, &fault), 0);
    assert_int_equal(bp_reading_mark(&good, NULL), 0);
}

static void test_ranges(void **state) {
    (void)state;
    char text[64];
    bp_reading r = reading("12.41 V", 12.41, 12.304, 12.496);
    bp_range_text(&r, text, sizeof text);
    assert_string_equal(text, "12.30 – 12.50");
    r = reading("0.000 V", 0, -0.002, 0.002);
    bp_range_text(&r, text, sizeof text);
    assert_string_equal(text, "± 0.002");
    r = reading("0.010 V", 0.01, -0.0004, 0.02);
    bp_range_text(&r, text, sizeof text);
    assert_string_equal(text, "0.000 – 0.020");
    r = reading("OL", NAN, NAN, NAN);
    assert_int_equal(bp_range_text(&r, text, sizeof text), 0);
    assert_string_equal(text, "");
}

static void test_unknown_state(void **state) {
    (void)state;
    bench b;
    open_bench(&b, NULL);
    bp_sheet_options options = BP_SHEET_OPTIONS_INIT;
    options.state = "broken";
    bp_facts facts;
    assert_int_equal(bp_facts_gather(&facts, b.lab, &options, b.report), BP_ERR_USAGE);
    bp_facts_clear(&facts);
    assert_non_null(strstr(bp_report_at(b.report, bp_report_count(b.report) - 1)->text, "broken"));
    close_bench(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_way),          cmocka_unit_test(test_sum),
        cmocka_unit_test(test_most_allowed), cmocka_unit_test(test_bad_ground),
        cmocka_unit_test(test_blown),        cmocka_unit_test(test_marks),
        cmocka_unit_test(test_ranges),       cmocka_unit_test(test_unknown_state),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
