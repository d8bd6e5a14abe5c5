/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A sheet as PDF, read back with poppler: its words are text, its fonts travel with it, and its
 * readings are those of Ohm's law.
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
#include <backprobe/sheet.h>

/* 12 V over 100 and 200 ohm: 8 V between them, 4 V and 8 V across them (Ohm's law). */
static const char divider[] = "backprobe: 1\n"
                              "id: divider\n"
                              "title: Two resistors in a row\n"
                              "scenario: A bench with a bolt-on supply\n"
                              "parts:\n"
                              "  U1: {kind: source, emf: 12 V}\n"
                              "  R1: {kind: resistor, resistance: 100 ohm}\n"
                              "  R2: {kind: resistor, resistance: 200 ohm, label: the lower one}\n"
                              "wires:\n"
                              "  W1: {from: U1.+, to: R1.1}\n"
                              "  W2: {from: R1.2, to: R2.1}\n"
                              "  W3: {from: R2.2, to: U1.-}\n"
                              "points:\n"
                              "  A: {at: R2.1}\n"
                              "states:\n"
                              "  bench: {}\n";

static char path[64];

static int write_sheet(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    bp_lab *lab = NULL;
    bp_sheet_options options = BP_SHEET_OPTIONS_INIT;
    snprintf(path, sizeof path, "/tmp/backprobe-sheet-%ld.pdf", (long)getpid());
    bp_status status = bp_load_text(divider, sizeof divider - 1, "divider.yaml", &circuit, report);
    if (status == BP_OK)
        lab = bp_lab_new(circuit, 1, report);
    if (lab)
        status = bp_sheet_write(lab, &options, path, report);
    for (size_t i = 0; i < bp_report_count(report); i++)
        print_message("%s\n", bp_report_at(report, i)->text);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return status == BP_OK ? 0 : -1;
}

static int remove_sheet(void **state) {
    (void)state;
    return unlink(path);
}

/* What a command prints about the sheet. */
static void ask(const char *command, char *text, size_t size) {
    char line[200];
    snprintf(line, sizeof line, command, path);
    FILE *f = popen(line, "r");
    assert_non_null(f);
    text[fread(text, 1, size - 1, f)] = '\0';
    assert_int_equal(pclose(f), 0);
}

static void test_words(void **state) {
    (void)state;
    static const char *const expected[] = {"Two resistors in a row",
                                           "A bench with a bolt-on supply",
                                           "State: bench",
                                           "Readings",
                                           "Voltage drops",
                                           "8.00 V",
                                           "4.000 V",
                                           "what is left",
                                           "page 1 of",
                                           "the lower one R2",
                                           "divider",
                                           "Orange cables carry high voltage"};
    static char text[60000];
    ask("pdftotext -layout %s -", text, sizeof text);
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        if (!strstr(text, expected[i])) {
            print_error("not in the sheet: %s\n%s", expected[i], text);
            fail();
        }
}

static void test_title_and_paper(void **state) {
    (void)state;
    char text[4000];
    ask("pdfinfo %s", text, sizeof text);
    assert_non_null(strstr(text, "Two resistors in a row"));
    assert_non_null(strstr(text, "595.276 x 841.89 pts (A4)")); /* 210 mm x 297 mm, ISO 216 */
}

/* Every font is embedded: the fifth column from the right of pdffonts says so. */
static void test_fonts_are_embedded(void **state) {
    (void)state;
    char text[4000];
    size_t n = 0;
    ask("pdffonts %s | tail -n +3 | awk '{print $(NF-4)}'", text, sizeof text);
    for (char *word = strtok(text, "\n"); word; word = strtok(NULL, "\n"), n++)
        assert_string_equal(word, "yes");
    assert_true(n >= 2); /* regular and bold */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_title_and_paper),
        cmocka_unit_test(test_fonts_are_embedded),
    };
    return cmocka_run_group_tests(tests, write_sheet, remove_sheet);
}
