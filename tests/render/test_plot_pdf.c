/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A page of waveforms as PDF, read back with poppler: its words are text, its figures those of
 * Ohm's law.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <backprobe/load.h>
#include <backprobe/plot.h>

static const char circuit_text[] = "backprobe: 1\n"
                                   "id: two-resistors\n"
                                   "title: Two resistors in a row\n"
                                   "scenario: A bench with a bolt-on supply\n"
                                   "parts:\n"
                                   "  U1: {kind: source, emf: 12 V}\n"
                                   "  R1: {kind: resistor, resistance: 100 ohm}\n"
                                   "  R2: {kind: resistor, resistance: 200 ohm}\n"
                                   "wires:\n"
                                   "  W1: {from: U1.+, to: R1.1}\n"
                                   "  W2: {from: R1.2, to: R2.1}\n"
                                   "  W3: {from: R2.2, to: U1.-}\n"
                                   "states:\n"
                                   "  bench: {}\n";

static char path[64];

static int write_page(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    bp_lab *lab = NULL;
    const bp_scope_trace traces[] = {{.red = "R2.1"}, {.clamp = "W2"}};
    const bp_plot_options options = {.letter = true};
    bp_scope_question question = BP_SCOPE_QUESTION_INIT;
    question.traces = traces;
    question.n_traces = 2;
    question.from = 0;
    question.to = 5e-3;
    snprintf(path, sizeof path, "/tmp/backprobe-plot-%ld.pdf", (long)getpid());
    bp_status status =
        bp_load_text(circuit_text, sizeof circuit_text - 1, "bench.yaml", &circuit, report);
    if (status == BP_OK)
        lab = bp_lab_new(circuit, 1, report);
    bp_scope_run *good = lab ? bp_lab_scope(lab, &question, report) : NULL;
    question.faults = "R2:open";
    bp_scope_run *fault = good ? bp_lab_scope(lab, &question, report) : NULL;
    if (fault)
        status = bp_plot_write(lab, &question, good, fault, &options, path, report);
    for (size_t i = 0; i < bp_report_count(report); i++)
        print_message("%s\n", bp_report_at(report, i)->text);
    bp_scope_run_free(&good);
    bp_scope_run_free(&fault);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return status == BP_OK ? 0 : -1;
}

static int remove_page(void **state) {
    (void)state;
    return unlink(path);
}

static void ask(const char *command, char *text, size_t size) {
    char line[200];
    snprintf(line, sizeof line, command, path);
    FILE *f = popen(line, "r");
    assert_non_null(f);
    text[fread(text, 1, size - 1, f)] = '\0';
    assert_int_equal(pclose(f), 0);
}

/* 12 V over 100 and 200 ohm: 8 V and 40 mA; with the lower one open 12 V and nothing (Ohm's law).
 */
static void test_words(void **state) {
    (void)state;
    static const char *const expected[] = {"Two resistors in a row",
                                           "State: bench",
                                           "Fault shown",
                                           "good circuit",
                                           "with this fault",
                                           "R2.1 (W2)",
                                           "clamp on W2",
                                           "8.00 V",
                                           "12.0 V",
                                           "40.0 mA",
                                           "time in ms",
                                           "highest",
                                           "peak to peak",
                                           "page 1 of 1",
                                           "Orange cables carry high voltage"};
    static char text[60000];
    ask("pdftotext -layout %s -", text, sizeof text);
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        if (!strstr(text, expected[i])) {
            print_error("not on the page: %s\n%s", expected[i], text);
            fail();
        }
}

static void test_paper(void **state) {
    (void)state;
    char text[4000];
    ask("pdfinfo %s", text, sizeof text);
    assert_non_null(strstr(text, "612 x 792 pts (letter)")); /* 8.5 in x 11 in, ANSI A */
}

/* Runs without a result leave no file behind, and what was there stays. */
static void test_nothing_to_draw(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    assert_int_equal(
        bp_load_text(circuit_text, sizeof circuit_text - 1, "bench.yaml", &circuit, report), BP_OK);
    bp_lab *lab = bp_lab_new(circuit, 1, report);
    const bp_scope_question question = BP_SCOPE_QUESTION_INIT;
    const bp_plot_options options = {0};
    const bp_scope_run failed = {
        .circuit = "two-resistors", .state = "bench", .faults = "healthy", .why = "no result"};
    assert_int_equal(bp_plot_write(lab, &question, &failed, NULL, &options,
                                   "/tmp/backprobe-plot-that-is-not.pdf", report),
                     BP_ERR_SOLVER);
    assert_int_equal(access("/tmp/backprobe-plot-that-is-not.pdf", F_OK), -1);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_paper),
        cmocka_unit_test(test_nothing_to_draw),
    };
    return cmocka_run_group_tests(tests, write_page, remove_page);
}
