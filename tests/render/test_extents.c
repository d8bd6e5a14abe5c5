/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The reader of the ledger must find every sort of collision that is planted here, and none where
 * there is none; otherwise the tests of the sheets could not fail.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "extents.h"

static const bp_font font = {10, BP_REGULAR, BP_INK_BLACK, false};

static bp_canvas *new_canvas(void) {
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "planted", NULL);
    assert_non_null(canvas);
    return canvas;
}

static void check(bp_canvas *canvas, size_t expected) {
    assert_int_equal(bp_extents_faults(canvas, "planted"), expected);
    bp_canvas_free(&canvas);
}

static void test_clean(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_text(c, 100, 100, "left", &font, BP_LEFT, 0);
    bp_text(c, 160, 100, "right", &font, BP_LEFT, 0);
    bp_ledger_begin(c, BP_INK_TAG, (bp_box){200, 200, 60, 20}, "tag");
    bp_text(c, 210, 203, "12.41 V", &font, BP_LEFT, 0);
    bp_ledger_end(c);
    bp_ledger_begin(c, BP_INK_SYMBOL, (bp_box){300, 200, 20, 40}, "fuse");
    bp_ledger_end(c);
    bp_ledger_wire(c, 310, 150, 310, 200, "to the fuse");
    bp_ledger_wire(c, 310, 240, 310, 300, "from the fuse");
    check(c, 0);
}

static void test_text_over_text(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_text(c, 100, 100, "one reading", &font, BP_LEFT, 0);
    bp_text(c, 110, 104, "another", &font, BP_LEFT, 0);
    check(c, 1);
}

static void test_same_place_on_two_pages(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_text(c, 100, 100, "one", &font, BP_LEFT, 0);
    bp_canvas_next_page(c);
    bp_text(c, 100, 100, "one", &font, BP_LEFT, 0);
    check(c, 0);
}

static void test_text_over_symbol(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_ledger_begin(c, BP_INK_SYMBOL, (bp_box){100, 100, 30, 30}, "lamp");
    bp_ledger_end(c);
    bp_text(c, 90, 110, "not its own", &font, BP_LEFT, 0);
    check(c, 1);
}

static void test_tag_over_symbol(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_ledger_begin(c, BP_INK_SYMBOL, (bp_box){100, 100, 30, 30}, "lamp");
    bp_ledger_end(c);
    bp_ledger_begin(c, BP_INK_TAG, (bp_box){125, 120, 60, 20}, "tag");
    bp_ledger_end(c);
    check(c, 1);
}

static void test_text_and_frames(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_ledger_begin(c, BP_INK_FRAME, (bp_box){100, 100, 40, 20}, "box");
    bp_text(c, 104, 103, "far too long for the box", &font, BP_LEFT, 0);
    bp_ledger_end(c);
    bp_text(c, 90, 112, "across", &font, BP_LEFT, 0);
    check(c, 2); /* out of its frame, and across its border */
}

static void test_wire_through(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_text(c, 100, 100, "through here", &font, BP_LEFT, 0);
    bp_ledger_wire(c, 90, 107, 300, 107, "W1");
    bp_ledger_begin(c, BP_INK_SYMBOL, (bp_box){200, 90, 30, 30}, "lamp");
    bp_ledger_end(c);
    check(c, 2);
}

static void test_off_the_page(void **state) {
    (void)state;
    bp_canvas *c = new_canvas();
    bp_text(c, 560, 100, "beyond the right edge", &font, BP_LEFT, 0);
    check(c, 2); /* the text, and the page's ink */
    c = new_canvas();
    bp_line(c, 5, 300, 100, 300, 1, BP_INK_BLACK); /* in no ledger, but ink */
    check(c, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_clean),
        cmocka_unit_test(test_text_over_text),
        cmocka_unit_test(test_same_place_on_two_pages),
        cmocka_unit_test(test_text_over_symbol),
        cmocka_unit_test(test_tag_over_symbol),
        cmocka_unit_test(test_text_and_frames),
        cmocka_unit_test(test_wire_through),
        cmocka_unit_test(test_off_the_page),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
