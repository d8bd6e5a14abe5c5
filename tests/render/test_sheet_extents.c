/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Nothing on a sheet lies over anything else or off the page: sheets of every circuit of the
 * library in every state, healthy and with faults, and made ones with long words and many points,
 * on both papers. Each of the library's sheets is drawn on one of them, by turns; all on both when
 * the program is called with the word "all".
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "extents.h"
#include "made.h"
#include "render/sheet.h"
#include "tests/sweep.h"

static size_t faults_of_sheet(const bp_facts *facts, const char *what) {
    bp_canvas *canvas =
        bp_canvas_new(NULL, facts->options.letter ? BP_PAPER_LETTER : BP_PAPER_A4, "extents", NULL);
    assert_non_null(canvas);
    assert_int_equal(bp_sheet_compose(canvas, facts), BP_OK);
    size_t n = bp_extents_faults(canvas, what);
    bp_canvas_free(&canvas);
    return n;
}

static size_t faults_of_made(const bp_made *made) {
    char what[100];
    snprintf(what, sizeof what, "made: %zu points, %zu states%s%s%s", made->n_points,
             made->n_states, made->fault ? ", fault" : "", made->long_words ? ", long words" : "",
             made->letter ? ", letter" : "");
    bp_circuit *circuit = bp_made_circuit(made);
    bp_facts facts;
    bp_made_facts(made, circuit, &facts);
    size_t n = faults_of_sheet(&facts, what);
    bp_made_clear(&facts);
    bp_circuit_free(&circuit);
    return n;
}

/* Each covers what only it has: no point at all; one page; two pages; many bands and pages. */
static void test_made_sheets(void **state) {
    (void)state;
    static const size_t sizes[][2] = {{0, 1}, {3, 1}, {8, 3}, {30, 8}};
    size_t n = 0;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        for (unsigned bits = 0; bits < 8; bits += SWEEP_STEP)
            n += faults_of_made(&(bp_made){.n_points = sizes[i][0],
                                           .n_states = sizes[i][1],
                                           .fault = bits & 1,
                                           .long_words = bits & 2,
                                           .letter = bits & 4});
    assert_int_equal(n, 0);
}

/* Fault number i of n, spread evenly over the circuit's list. */
static void pick_fault(const bp_circuit *circuit, size_t i, size_t of, char *fault, size_t size) {
    bp_fault_row *rows;
    size_t n;
    assert_int_equal(bp_fault_list(circuit, &rows, &n), BP_OK);
    assert_true(n > 0);
    bp_fault_case one = {.fault = {rows[(2 * i + 1) * n / (2 * of)].fault}, .n = 1};
    bp_fault_write(circuit, &one, fault, size);
    free(rows);
}

static bool both_papers;

static size_t faults_of_case(bp_lab *lab, const char *state, const char *fault, bool on_letter) {
    bp_sheet_options options = BP_SHEET_OPTIONS_INIT;
    options.state = state;
    options.faults = fault;
    bp_report *report = bp_report_new();
    bp_facts facts;
    bp_status status = bp_facts_gather(&facts, lab, &options, report);
    for (size_t i = 0; i < bp_report_count(report); i++)
        print_error("%s\n", bp_report_at(report, i)->text);
    assert_int_equal(status, BP_OK);
    char what[600];
    size_t n = 0;
    for (int letter = 0; letter < 2; letter++) {
        if (!both_papers && letter != on_letter)
            continue;
        facts.options.letter = letter;
        snprintf(what, sizeof what, "%s, state %s, %s%s", facts.circuit->id, state,
                 fault ? fault : "healthy", letter ? ", letter" : "");
        n += faults_of_sheet(&facts, what);
    }
    bp_facts_clear(&facts);
    bp_report_free(&report);
    return n;
}

static size_t faults_of_circuit(const char *path) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    assert_int_equal(bp_load_file(path, &circuit, report), BP_OK);
    bp_lab *lab = bp_lab_new(circuit, 0, report);
    assert_non_null(lab);
    size_t n = 0;
    for (size_t s = 0; s < circuit->n_states; s += SWEEP_STEP) { /* another fault in every state */
        char fault[128];
        pick_fault(circuit, s, circuit->n_states, fault, sizeof fault);
        n += faults_of_case(lab, circuit->states[s].id, NULL, s % 2);
        n += faults_of_case(lab, circuit->states[s].id, fault, s % 2 == 0);
    }
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return n;
}

static void test_library_sheets(void **state) {
    (void)state;
    bp_listing *list = NULL;
    size_t n_circuits = 0, n = 0;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n_circuits, report), BP_OK);
    assert_true(n_circuits >= 4);
    for (size_t i = 0; i < n_circuits; i += SWEEP_CIRCUITS)
        n += faults_of_circuit(list[i].path);
    bp_listing_free(&list, n_circuits);
    bp_report_free(&report);
    assert_int_equal(n, 0);
}

/* The test itself can fail: a text planted over a finished sheet is found. */
static void test_planted(void **state) {
    (void)state;
    bp_made made = {.n_points = 4, .n_states = 2};
    bp_circuit *circuit = bp_made_circuit(&made);
    bp_facts facts;
    bp_made_facts(&made, circuit, &facts);
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "planted", NULL);
    assert_int_equal(bp_sheet_compose(canvas, &facts), BP_OK);
    const bp_font font = {9, BP_REGULAR, BP_INK_BLACK, false};
    size_t last = bp_ledger_count(canvas) - 1;
    bp_box over = bp_ledger_at(canvas, last)->box;
    bp_text(canvas, over.x, over.y, "planted over the last text", &font, BP_LEFT, 0);
    assert_true(bp_extents_faults(canvas, "planted on a sheet") > 0);
    bp_canvas_free(&canvas);
    bp_made_clear(&facts);
    bp_circuit_free(&circuit);
}

int main(int argc, char **argv) {
    both_papers = argc > 1 && strcmp(argv[1], "all") == 0;
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_planted),
        cmocka_unit_test(test_made_sheets),
        cmocka_unit_test(test_library_sheets),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
