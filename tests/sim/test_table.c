/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fault table of a small circuit: every fault, grid, groups and what is telling.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>
#include <backprobe/table.h>

#include "circuits/fault.h"
#include "tests/sim/asked.h"

#define PARTS                                                                                      \
    "B: {kind: source, emf: 12 V}, F: {kind: fuse, rating: 10 A}, S: {kind: switch, positions: "   \
    "{released: [], pressed: [[1, 2]]}}, R: {kind: resistor, resistance: 6 ohm}"
#define WIRES                                                                                      \
    "W1: {from: B.+, to: F.1, size: 1 mm2, length: 1 m}, W2: {from: F.2, to: S.1, size: 1 mm2, "   \
    "length: 1 m}, W3: {from: S.2, to: R.1, size: 1 mm2, length: 1 m}, W4: {from: R.2, to: B.-, "  \
    "size: 1 mm2, length: 1 m}"
#define STATES "off: {}, on: {S: pressed, from: off}"

static const bp_table_row *row_of(const bp_table *t, const char *fault) {
    for (size_t i = 0; i < bp_table_n_rows(t); i++)
        if (strcmp(bp_table_row_at(t, i)->fault, fault) == 0)
            return bp_table_row_at(t, i);
    fail_msg("no row %s", fault);
    return NULL;
}

static void it_holds_every_fault_over_its_grid(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, STATES);
    bp_table *t = bp_table_compute(d.lab, NULL, NULL, d.report);
    assert_non_null(t);
    const bp_circuit *c = bp_lab_circuit(d.lab);
    bp_fault_row *faults = NULL;
    size_t n = 0, rows = 1;
    double grid[BP_FAULT_MOST_GRID];
    assert_int_equal(bp_fault_list(c, &faults, &n), BP_OK);
    for (size_t i = 0; i < n; i++)
        rows += bp_fault_grid(c, &faults[i].fault, grid);
    free(faults);
    assert_int_equal(bp_table_n_rows(t), rows);
    assert_int_equal(bp_table_n_cases(t), 2 * rows);
    assert_string_equal(bp_table_row_at(t, 0)->fault, "healthy");
    assert_true(isfinite(bp_table_row_at(t, 0)->answer->states[0].readings[0].low));
    size_t typical = 0;
    for (size_t i = 0; i < rows; i++) {
        const bp_table_row *row = bp_table_row_at(t, i);
        assert_non_null(row->answer);
        assert_true(row->group <= i && row->group < bp_table_n_groups(t));
        typical += row->typical;
    }
    assert_int_equal(typical, n + 1); /* one severity of each fault is the typical one */
    bp_table_free(&t);
    desk_clear(&d);
}

/* Fuse blown or fuse pin open: no test point tells them apart. A wire open behind the fuse does
 * look different. */
static void what_looks_alike_shares_a_group(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, STATES);
    bp_table *t = bp_table_compute(d.lab, NULL, NULL, d.report);
    assert_non_null(t);
    const bp_table_row *blown = row_of(t, "F:blown");
    assert_true(blown->telling);
    assert_int_equal(row_of(t, "R:open")->group, row_of(t, "W3:open")->group);
    assert_int_not_equal(row_of(t, "W1:open")->group, blown->group);
    assert_false(bp_table_row_at(t, 0)->telling);
    bp_table_free(&t);
    desk_clear(&d);
}

/* What the table holds is what is answered when that fault is asked for. */
static void rows_are_what_is_asked_for(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, STATES);
    bp_table *t = bp_table_compute(d.lab, NULL, NULL, d.report);
    assert_non_null(t);
    for (size_t i = 0; i < bp_table_n_rows(t); i += 7) {
        const bp_table_row *row = bp_table_row_at(t, i);
        bp_question q = BP_QUESTION_INIT;
        q.faults = row->fault;
        bp_answer *a = asked(&d, &q);
        assert_string_equal(a->faults, row->fault);
        assert_int_equal(a->n_states, row->answer->n_states);
        for (size_t s = 0; s < a->n_states; s++)
            for (size_t k = 0; k < a->states[s].n_readings; k++)
                assert_string_equal(a->states[s].readings[k].display,
                                    row->answer->states[s].readings[k].display);
        bp_answer_free(&a);
    }
    bp_table_free(&t);
    desk_clear(&d);
}

static void assert_same_state(const bp_state_answer *asked, const bp_state_answer *row) {
    assert_string_equal(asked->state, row->state);
    assert_int_equal(asked->n_readings, row->n_readings);
    for (size_t k = 0; k < asked->n_readings; k++) {
        assert_int_equal(asked->readings[k].status, row->readings[k].status);
        if (asked->readings[k].status == BP_READING_OK)
            desk_near(row->readings[k].value, asked->readings[k].value, 2e-6, row->state);
    }
    assert_true(asked->condition == row->condition);
}

static void assert_same_notices(const bp_state_answer *a, const bp_state_answer *b) {
    assert_int_equal(a->n_notices, b->n_notices);
    for (size_t k = 0; k < a->n_notices; k++)
        assert_string_equal(a->notices[k].words, b->notices[k].words);
}

/* A table solves less of a fault between its least and its worst degree than a question about that
 * degree alone does (sim/family.h): relays, fuses and readings have to come out the same. */
static void degrees_between_are_what_is_asked_for(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    assert_int_equal(bp_load("fuel-pump", &circuit, report), BP_OK);
    bp_lab *lab = bp_lab_new(circuit, 0, report);
    bp_table *t = bp_table_compute(lab, NULL, NULL, report);
    assert_non_null(t);
    for (size_t i = 1; i < bp_table_n_rows(t); i += 31) {
        const bp_table_row *row = bp_table_row_at(t, i);
        bp_question q = BP_QUESTION_INIT;
        q.faults = row->fault;
        bp_answer *a = bp_lab_ask(lab, &q, report);
        assert_non_null(a);
        assert_int_equal(a->n_states, row->answer->n_states);
        for (size_t s = 0; s < a->n_states; s++)
            assert_same_state(&a->states[s], &row->answer->states[s]);
        bp_answer_free(&a);
    }
    bp_table_free(&t);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
}

/* The same for what people notice, which a table leaves out. */
static void degrees_between_are_noticed_alike(void **state) {
    (void)state;
    static const char *const faults[] = {"G3:resistance=0.1ohm", "G3:resistance=0.5ohm",
                                         "G3:resistance=1ohm", "G3:resistance=2ohm",
                                         "G3:resistance=5ohm"};
    enum { N = sizeof faults / sizeof *faults };
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    assert_int_equal(bp_load("fuel-pump", &circuit, report), BP_OK);
    bp_lab *lab = bp_lab_new(circuit, 0, report);
    bp_question question[N];
    bp_answer *together[N];
    for (size_t i = 0; i < N; i++) {
        question[i] = (bp_question)BP_QUESTION_INIT;
        question[i].faults = faults[i];
    }
    assert_int_equal(bp_lab_ask_many(lab, question, N, together, NULL, NULL, report), BP_OK);
    for (size_t i = 0; i < N; i++) {
        bp_answer *alone = bp_lab_ask(lab, &question[i], report);
        assert_int_equal(alone->n_states, together[i]->n_states);
        for (size_t s = 0; s < alone->n_states; s++) {
            assert_true(alone->states[s].n_notices > 0);
            assert_same_notices(&alone->states[s], &together[i]->states[s]);
        }
        bp_answer_free(&alone);
        bp_answer_free(&together[i]);
    }
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_holds_every_fault_over_its_grid),
        cmocka_unit_test(what_looks_alike_shares_a_group),
        cmocka_unit_test(rows_are_what_is_asked_for),
        cmocka_unit_test(degrees_between_are_what_is_asked_for),
        cmocka_unit_test(degrees_between_are_noticed_alike),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
