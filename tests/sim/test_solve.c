/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Short cuts give what the long way gives: values edited in a loaded deck against a deck loaded
 * anew, readings of all points at once against each point by itself, on every circuit of the
 * library with faults of every sort.
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

#include <backprobe/load.h>

#include "circuits/fault.h"
#include "sim/lab.h"
#include "sim/solve.h"
#include "tests/sweep.h"

typedef struct bench {
    bp_report *report;
    bp_circuit *circuit;
    bp_lab *lab;
    bp_fault_row *faults;
    size_t n_faults;
} bench;

static void bench_open(bench *b, const char *id) {
    *b = (bench){.report = bp_report_new()};
    assert_int_equal(bp_load(id, &b->circuit, b->report), BP_OK);
    b->lab = bp_lab_new(b->circuit, 1, b->report);
    assert_non_null(b->lab);
    assert_int_equal(bp_fault_list(b->circuit, &b->faults, &b->n_faults), BP_OK);
}

static void bench_close(bench *b) {
    free(b->faults);
    bp_lab_free(&b->lab);
    bp_circuit_free(&b->circuit);
    bp_report_free(&b->report);
}

static bp_solved solve(bench *b, const bp_question *q, size_t pair, bp_way way) {
    bp_solved solved;
    if (bp_lab_solve(b->lab, q, pair, way, &solved, b->report) != BP_OK)
        fail_msg("%s: %s", q->faults,
                 bp_report_at(b->report, bp_report_count(b->report) - 1)->text);
    return solved;
}

static void check_edits(const char *id) {
    bench b;
    bench_open(&b, id);
    char text[300];
    for (size_t i = 0; i < b.n_faults; i += 5) {
        const bp_fault_case faults = {.fault = {b.faults[i].fault}, .n = 1};
        bp_fault_write(b.circuit, &faults, text, sizeof text);
        const size_t state = i % b.circuit->n_states;
        const size_t pair = i % b.circuit->n_points;
        bp_question q = BP_QUESTION_INIT;
        q.state = b.circuit->states[state].id;
        q.faults = text;
        bp_solved edited = solve(&b, &q, pair, BP_WAY_EDITS);
        bp_solved fresh = solve(&b, &q, pair, BP_WAY_FRESH);
        /* The reading's own pair is held by the meter; the others may hang in the air. */
        const size_t node = bp_deck_node_of_face(edited.deck, b.circuit->points[pair].face);
        if (!edited.chatter) {
            assert_memory_equal(edited.values, fresh.values,
                                bp_deck_n_values(edited.deck) * sizeof *edited.values);
            if (fabs(edited.volts[node] - fresh.volts[node]) > 50e-6)
                fail_msg("%s in %s at %s: %.9f V edited, %.9f V fresh", text, q.state,
                         b.circuit->points[pair].id, edited.volts[node], fresh.volts[node]);
        }
        bp_solved_clear(&edited);
        bp_solved_clear(&fresh);
    }
    bench_close(&b);
}

/* One question for all points against one question each. */
static void check_points(const char *id) {
    bench b;
    bench_open(&b, id);
    char text[300];
    for (size_t i = 0; i < b.n_faults; i += 17) {
        const bp_fault_case faults = {.fault = {b.faults[i].fault}, .n = 1};
        bp_fault_write(b.circuit, &faults, text, sizeof text);
        bp_question q = BP_QUESTION_INIT;
        q.state = b.circuit->states[i % b.circuit->n_states].id;
        q.faults = text;
        bp_answer *all = bp_lab_ask(b.lab, &q, b.report);
        assert_non_null(all);
        const size_t n = b.circuit->n_points;
        for (size_t p = i % 3; p < n; p += 3) {
            const bp_pair pair = {b.circuit->points[p].id, NULL};
            q.pairs = &pair;
            q.n_pairs = 1;
            bp_answer *one = bp_lab_ask(b.lab, &q, b.report);
            assert_non_null(one);
            assert_int_equal(one->n_states, all->n_states);
            for (size_t s = 0; s < one->n_states; s++) {
                const bp_reading *x = &all->states[s].readings[p], *y = &one->states[s].readings[0];
                if (x->status != y->status ||
                    (x->status == BP_READING_OK && fabs(x->value - y->value) > 2e-4))
                    fail_msg("%s in %s at %s: %s (%.6f) among all, %s (%.6f) alone", text, q.state,
                             pair.red, x->display, x->value, y->display, y->value);
            }
            bp_answer_free(&one);
        }
        q.pairs = NULL;
        bp_answer_free(&all);
    }
    bench_close(&b);
}

static void edits_and_fresh_decks_agree(void **state) {
    (void)state;
    bp_listing *list;
    size_t n;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n, report), BP_OK);
    assert_true(n >= 4);
    for (size_t i = 0; i < n; i += SWEEP_CIRCUITS)
        check_edits(list[i].path);
    bp_listing_free(&list, n);
    bp_report_free(&report);
}

static void all_points_and_each_point_agree(void **state) {
    (void)state;
    bp_listing *list;
    size_t n;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n, report), BP_OK);
    for (size_t i = 0; i < n; i += SWEEP_CIRCUITS)
        check_points(list[i].path);
    bp_listing_free(&list, n);
    bp_report_free(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(edits_and_fresh_decks_agree),
        cmocka_unit_test(all_points_and_each_point_agree),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
