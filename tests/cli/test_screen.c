/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What reaches the terminal: strangers' texts made safe, lines broken by display width, tables that
 * fit.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/columns.h"
#include "cli/csv.h"

typedef struct page {
    bp_screen screen;
    char *text;
    size_t size;
} page;

static void open_page(page *p, size_t width, bool utf8) {
    p->screen =
        (bp_screen){.file = open_memstream(&p->text, &p->size), .width = width, .utf8 = utf8};
    assert_non_null(p->screen.file);
}

static void expect_page(page *p, const char *expected) {
    fclose(p->screen.file);
    assert_string_equal(p->text, expected);
    free(p->text);
}

static void expect_clean(bool utf8, const char *text, const char *expected) {
    bp_screen screen = {.utf8 = utf8};
    char *clean = bp_screen_clean(&screen, text);
    assert_string_equal(clean, expected);
    free(clean);
}

/* Controls C0, DEL and C1 (ECMA-48 gives them their effect on a terminal), marks that turn the
 * direction of writing (Unicode, UAX 9) and bytes that are no UTF-8 (RFC 3629) are shown and not
 * obeyed. */
static void test_clean(void **state) {
    (void)state;
    expect_clean(true, "red \033[31m", "red \\x1B[31m");
    expect_clean(true, "bell\a tab\t end\x7f", "bell\\x07 tab\\x09 end\\x7F");
    expect_clean(true, "two\nlines", "two\\nlines");
    expect_clean(true, "c1 \xc2\x9b", "c1 \\xC2\\x9B");
    expect_clean(true, "turned \xe2\x80\xae", "turned \\xE2\\x80\\xAE");
    expect_clean(true, "broken \xff \xc0\xaf \xed\xa0\x80",
                 "broken \\xFF \\xC0\\xAF \\xED\\xA0\\x80");
    expect_clean(true, "85 Ω, 2.5 mm², größer", "85 Ω, 2.5 mm², größer");
}

static void test_ascii(void **state) {
    (void)state;
    expect_clean(false, "85 Ω", "85 ohm");
    expect_clean(false, "12 µF, 2.5 mm², 20 °C", "12 uF, 2.5 mm2, 20 degC");
    expect_clean(false, "8.8 – 9.2 V ▲", "8.8 to 9.2 V above");
    expect_clean(false, "größer", "gr?\?er");
}

/* East Asian wide characters take two columns, combining marks none (Unicode, UAX 11 and general
 * category Mn). */
static void test_columns_of_text(void **state) {
    (void)state;
    assert_int_equal(bp_text_columns("12.41 V"), 7);
    assert_int_equal(bp_text_columns("85 Ω"), 4);
    assert_int_equal(bp_text_columns("漢字"), 4);
    assert_int_equal(bp_text_columns("e\xcc\x81"), 1);
    assert_int_equal(bp_text_columns(""), 0);
}

static void expect_fit(const char *text, size_t width, const char *line, const char *rest) {
    const char *next;
    size_t bytes = bp_text_fit(text, width, &next);
    assert_int_equal(bytes, strlen(line));
    assert_memory_equal(text, line, bytes);
    assert_string_equal(next, rest);
}

static void test_fit(void **state) {
    (void)state;
    expect_fit("one two three", 20, "one two three", "");
    expect_fit("one two three", 7, "one two", "three");
    expect_fit("one two three", 8, "one two", "three");
    expect_fit("one two three", 6, "one", "two three");
    expect_fit("unbreakable", 4, "unbr", "eakable"); /* no space: cut where it must be */
    expect_fit("漢字漢字", 5, "漢字", "漢字");       /* never half a character */
    expect_fit("Ω", 1, "Ω", "");
    expect_fit("reads 12 V here", 9, "reads", "12 V here"); /* a number keeps its unit */
    expect_fit("x", 0, "x", "");                            /* always at least one character */
}

static void test_paragraph(void **state) {
    (void)state;
    page p;
    open_page(&p, 20, true);
    bp_screen_paragraph(&p.screen, BP_TONE_STRONG, 2, 4, "%s",
                        "the pump runs at half of its speed");
    expect_page(&p, "  the pump runs at\n    half of its\n    speed\n");
}

static void test_table(void **state) {
    (void)state;
    page p;
    open_page(&p, 80, true);
    bp_columns *table = bp_columns_new(&p.screen, 3);
    bp_columns_head(table, 0, "point", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "empty", BP_CELL_LEFT, false); /* left out: nothing is in it */
    bp_columns_head(table, 2, "reads", BP_CELL_RIGHT, false);
    bp_columns_cell(table, BP_TONE_STRONG, "A");
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", "");
    bp_columns_cell(table, BP_TONE_PLAIN, "9.00 V");
    bp_columns_cell(table, BP_TONE_PLAIN, "漢");
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", "");
    bp_columns_cell(table, BP_TONE_PLAIN, "85 Ω");
    bp_columns_print(table);
    bp_columns_free(&table);
    assert_null(table);
    expect_page(&p, "  point   reads\n"
                    "  ─────────────\n"
                    "  A      9.00 V\n"
                    "  漢       85 Ω\n");
}

/* Only columns that may wrap give way, and the last row may be unfinished. */
static void test_narrow_table(void **state) {
    (void)state;
    page p;
    open_page(&p, 26, true);
    bp_columns *table = bp_columns_new(&p.screen, 2);
    bp_columns_head(table, 1, "", BP_CELL_LEFT, true);
    bp_columns_cell(table, BP_TONE_PLAIN, "W7:open");
    bp_columns_cell(table, BP_TONE_PLAIN, "W7 open between C12 and H1");
    bp_columns_cell(table, BP_TONE_PLAIN, "G3:open");
    bp_columns_print(table);
    bp_columns_free(&table);
    expect_page(&p, "  W7:open  W7 open between\n"
                    "           C12 and H1\n"
                    "  G3:open\n");
}

static void test_tones(void **state) {
    (void)state;
    page p;
    open_page(&p, 80, true);
    p.screen.tones = true;
    bp_screen_put(&p.screen, BP_TONE_STRONG, "A", 1);
    bp_screen_put(&p.screen, BP_TONE_PLAIN, "B", 1);
    bp_screen_put(&p.screen, BP_TONE_FAINT, "C", 1);
    bp_screen_put(&p.screen, BP_TONE_FAINT, "", 0);
    expect_page(&p, "\033[1mA\033[0mB\033[2mC\033[0m"); /* SGR 1, 2 and 0 of ECMA-48 */
}

/* RFC 4180, section 2: fields with commas or quotes stand in quotes, and a quote in them is
 * doubled. */
static void test_csv(void **state) {
    (void)state;
    page p;
    open_page(&p, 80, false);
    bp_csv_text(&p.screen, "plain", ',');
    bp_csv_text(&p.screen, "with, comma", ',');
    bp_csv_text(&p.screen, "a \"quote\"", ',');
    bp_csv_text(&p.screen, NULL, ',');
    bp_csv_text(&p.screen, "85 Ω\n",
                ','); /* UTF-8 whatever the locale is; a control character is shown */
    bp_csv_number(&p.screen, 0.25, ',');
    bp_csv_number(&p.screen, NAN, '\n');
    expect_page(&p, "plain,\"with, comma\",\"a \"\"quote\"\"\",,85 Ω\\n,0.25,\n");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_clean),
        cmocka_unit_test(test_ascii),
        cmocka_unit_test(test_columns_of_text),
        cmocka_unit_test(test_fit),
        cmocka_unit_test(test_paragraph),
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_narrow_table),
        cmocka_unit_test(test_tones),
        cmocka_unit_test(test_csv),
    };
    if (!setlocale(LC_CTYPE, "C.UTF-8")) /* in every Debian; widths cannot be told without one */
        return 1;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
