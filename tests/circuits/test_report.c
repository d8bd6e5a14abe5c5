/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The list of mistakes: what is kept, how it is escaped and ordered; near misses.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include <backprobe/report.h>

#include "circuits/circuit.h"
#include "circuits/report.h"

static void messages_are_kept_in_order(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    char file[] = "a.yaml";
    bp_report_add(report, BP_WARNING, file, 3, 7, "one %d", 1);
    bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "two");
    file[0] = 'x'; /* the report has a copy */
    assert_int_equal(bp_report_count(report), 2);
    assert_int_equal(bp_report_count_of(report, BP_MISTAKE), 1);
    assert_int_equal(bp_report_count_of(report, BP_NOTE), 0);
    const bp_message *first = bp_report_at(report, 0);
    assert_string_equal(first->file, "a.yaml");
    assert_int_equal(first->line, 3);
    assert_int_equal(first->column, 7);
    assert_string_equal(first->text, "one 1");
    assert_null(bp_report_at(report, 1)->file);
    assert_null(bp_report_at(report, 2));
    bp_report_free(&report);
    assert_null(report);
    bp_report_free(&report);
    bp_report_add(NULL, BP_MISTAKE, NULL, 0, 0, "dropped");
    assert_int_equal(bp_report_count(NULL), 0);
}

/* What could move the cursor or hide text on a terminal is shown as what it is. */
static void control_characters_are_escaped(void **state) {
    (void)state;
    static const struct {
        const char *raw, *shown;
    } rows[] = {{"a\nb", "a\\x0ab"},
                {"\x1b[31m", "\\x1b[31m"},
                {"2.5 mm\u00b2 \u03a9", "2.5 mm\u00b2 \u03a9"},
                {"\xc2\x9b", "\\xc2\\x9b"},          /* C1: starts a terminal sequence */
                {"\xff\xc3", "\\xff\\xc3"},          /* not UTF-8 */
                {"\xc0\xaf", "\\xc0\\xaf"},          /* overlong */
                {"\xed\xa0\x80", "\\xed\\xa0\\x80"}, /* surrogate */
                {"a\u202eb", "a\\xe2\\x80\\xaeb"},   /* turns the text around */
                {"a\u2028b", "a\\xe2\\x80\\xa8b"}};  /* line separator */
    bp_report *report = bp_report_new();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bp_report_add(report, BP_NOTE, NULL, 0, 0, "%s", rows[i].raw);
        assert_string_equal(bp_report_at(report, i)->text, rows[i].shown);
    }
    bp_report_free(&report);
}

static void messages_can_be_put_in_the_order_of_the_file(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_report_add(report, BP_NOTE, "f", 9, 9, "stays first");
    bp_report_add(report, BP_NOTE, "f", 4, 2, "c");
    bp_report_add(report, BP_NOTE, "f", 4, 1, "a");
    bp_report_add(report, BP_NOTE, "f", 4, 1, "b");
    bp_report_sort(report, 1);
    static const char *const order[] = {"stays first", "a", "b", "c"};
    for (size_t i = 0; i < 4; i++)
        assert_string_equal(bp_report_at(report, i)->text, order[i]);
    bp_report_free(&report);
}

static void every_status_has_a_text(void **state) {
    (void)state;
    assert_string_equal(bp_status_text(BP_OK), "done");
    assert_string_equal(bp_status_text(BP_ERR_SOLVER), "the circuit solver failed");
    assert_non_null(bp_status_text((bp_status)99));
}

/* A letter added, dropped, changed or swapped counts one; a third of the word may be wrong. */
static void near_misses_are_found(void **state) {
    (void)state;
    static const char *const names[] = {"size", "length", "colour", "loom", "label", "K2"};
    static const struct {
        const char *word, *near;
    } rows[] = {{"lenght", "length"}, {"color", "colour"}, {"Lable", "label"}, {"sizes", "size"},
                {"k2", "K2"},         {"K3", NULL},        {"width", NULL},    {"", NULL},
                {"lo", NULL},         {"SIZE", "size"},    {"loooom", "loom"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *near = bp_near_miss(rows[i].word, names, 6);
        if (rows[i].near ? !near || strcmp(near, rows[i].near) != 0 : near != NULL)
            fail_msg("%s: %s", rows[i].word, near ? near : "nothing");
    }
    char longest[200];
    memset(longest, 'a', sizeof longest);
    longest[sizeof longest - 1] = '\0';
    assert_null(bp_near_miss(longest, names, 6));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(messages_are_kept_in_order),
        cmocka_unit_test(control_characters_are_escaped),
        cmocka_unit_test(messages_can_be_put_in_the_order_of_the_file),
        cmocka_unit_test(every_status_has_a_text),
        cmocka_unit_test(near_misses_are_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
