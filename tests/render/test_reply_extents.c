/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Nothing on a reply sheet lies over anything else or off the page, whatever the circuit, the
 * number of tests, the length of the words and the paper; and what it says can be searched in the
 * PDF.
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

#include "extents.h"
#include "made.h"
#include "made_reply.h"
#include "render/reply.h"
#include "render/reply_source.h"
#include "tests/sweep.h"

/* Collisions on the sheet of one made reply; *n_pages may be NULL. */
static size_t faults_of(const bp_circuit *circuit, const bp_made_reply *made, size_t *n_pages) {
    char what[200];
    snprintf(what, sizeof what, "reply about %s: %zu tests, %zu known, %zu suspects%s%s%s",
             circuit->id, made->n_tests, made->n_known, made->n_suspects,
             made->long_words ? ", long words" : "", made->letter ? ", letter" : "",
             made->part ? ", a part of it" : "");
    bp_reply reply;
    bp_made_reply_make(made, circuit, &reply);
    bp_canvas *canvas =
        bp_canvas_new(NULL, made->letter ? BP_PAPER_LETTER : BP_PAPER_A4, "extents", NULL);
    assert_non_null(canvas);
    assert_int_equal(bp_reply_compose(canvas, &reply, NULL), BP_OK);
    size_t n = bp_extents_faults(canvas, what);
    if (n_pages)
        *n_pages = bp_canvas_n_pages(canvas);
    bp_canvas_free(&canvas);
    bp_made_reply_clear(&reply);
    return n;
}

/* Each covers what only it has: no test; one, two, three; nothing known; long words; both papers;
 * circuits that fit beside the tests and one that does not. */
static void test_made(void **state) {
    (void)state;
    static const bp_made_reply cases[] = {
        {.n_tests = 0, .n_known = 0, .n_suspects = 1},
        {.n_tests = 0, .n_known = 6, .n_suspects = 6, .long_words = true, .letter = true},
        {.n_tests = 1, .n_known = 3, .n_suspects = 4},
        {.n_tests = 2, .n_known = 4, .n_suspects = 5, .part = true},
        {.n_tests = 3, .n_known = 6, .n_suspects = 6, .letter = true},
        {.n_tests = 3, .n_known = 6, .n_suspects = 6, .long_words = true},
    };
    static const size_t points[] = {0, 6, 30};
    size_t n = 0;
    for (size_t p = 0; p < sizeof points / sizeof *points; p++)
        for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
            bp_circuit *circuit = bp_made_circuit(&(bp_made){
                .n_points = points[p], .n_states = 2, .long_words = cases[i].long_words});
            n += faults_of(circuit, &cases[i], NULL);
            bp_circuit_free(&circuit);
        }
    assert_int_equal(n, 0);
}

static void test_library(void **state) {
    (void)state;
    bp_listing *list = NULL;
    size_t n_circuits = 0, n = 0;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n_circuits, report), BP_OK);
    assert_true(n_circuits >= 4);
    for (size_t i = 0; i < n_circuits; i += SWEEP_CIRCUITS) {
        bp_circuit *circuit = NULL;
        const bp_made_reply made = {
            .n_tests = 1 + i % 2, .n_known = 4, .n_suspects = 5, .letter = i % 2};
        assert_int_equal(bp_load_file(list[i].path, &circuit, report), BP_OK);
        n += faults_of(circuit, &made, NULL);
        bp_circuit_free(&circuit);
    }
    bp_listing_free(&list, n_circuits);
    bp_report_free(&report);
    assert_int_equal(n, 0);
}

/* A small circuit with two tests takes one page, on both papers. */
static void test_one_page(void **state) {
    (void)state;
    bp_circuit *circuit = bp_made_circuit(&(bp_made){.n_points = 8, .n_states = 2});
    for (int letter = 0; letter < 2; letter++) {
        size_t n_pages = 0;
        const bp_made_reply made = {.n_tests = 2, .n_known = 5, .n_suspects = 5, .letter = letter};
        assert_int_equal(faults_of(circuit, &made, &n_pages), 0);
        assert_int_equal(n_pages, 1);
    }
    bp_circuit_free(&circuit);
}

/* The reply to a case file, out of match and next. */
static void test_case(void **state) {
    (void)state;
    char path[4096];
    const char *source = getenv("BACKPROBE_SOURCE");
    assert_non_null(source);
    snprintf(path, sizeof path, "%s/tests/cli/fixtures/lamp-case.yaml", source);
    bp_report *report = bp_report_new();
    bp_casefile *file = NULL;
    assert_int_equal(bp_casefile_load(path, &file, report), BP_OK);
    bp_reply_options options = BP_REPLY_OPTIONS_INIT;
    options.next.match.cache = options.next.match.repairs = "";
    options.next.rate = 80;
    options.currency = "EUR";
    bp_reply reply;
    assert_int_equal(bp_reply_gather(&reply, file, &options, report), BP_OK);
    assert_int_equal(reply.n_readings, bp_casefile_n_readings(file));
    assert_true(reply.n_suspects > 0 && reply.shown.n_points > 0);
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "extents", NULL);
    assert_int_equal(bp_reply_compose(canvas, &reply, NULL), BP_OK);
    assert_int_equal(bp_extents_faults(canvas, "the reply about the lamp"), 0);
    assert_int_equal(bp_canvas_n_pages(canvas), 1);
    bp_canvas_free(&canvas);
    bp_facts_clear(&reply.base);
    bp_reply_clear(&reply);
    bp_casefile_free(&file);
    bp_report_free(&report);
}

/* What poppler reads from the PDF, in one line. */
static char *text_of(const char *path) {
    char command[300], *text = calloc(1, 100000);
    assert_non_null(text);
    snprintf(command, sizeof command, "pdftotext -raw '%s' - | tr -s '\\n\\f ' ' '", path);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    assert_true(fread(text, 1, 99999, pipe) > 0);
    assert_int_equal(pclose(pipe), 0);
    return text;
}

static void test_pdf(void **state) {
    (void)state;
    char folder[] = "/tmp/bp-reply-XXXXXX", path[60];
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/reply.pdf", folder);
    bp_circuit *circuit = bp_made_circuit(&(bp_made){.n_points = 8, .n_states = 2});
    const bp_made_reply made = {.n_tests = 2, .n_known = 4, .n_suspects = 5};
    bp_reply reply;
    bp_made_reply_make(&made, circuit, &reply);
    bp_canvas *canvas = bp_canvas_new(path, BP_PAPER_A4, "reply", NULL);
    assert_int_equal(bp_reply_compose(canvas, &reply, NULL), BP_OK);
    assert_int_equal(bp_canvas_finish(canvas, NULL), BP_OK);
    bp_canvas_free(&canvas);
    char *text = text_of(path);
    static const char *const said[] = {"Cranks but will not start",
                                       "What is known so far",
                                       "Battery at rest: 12.5 V.",
                                       "Voltage drop of the ground side",
                                       "tank connector C5, pin 1, back-probe",
                                       "open before this point: F12, K1 or W15 (4 of 9)",
                                       "A new fuse blows again. Never fit a larger one."};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        if (!strstr(text, said[i]))
            fail_msg("\"%s\" cannot be searched", said[i]);
    free(text);
    bp_made_reply_clear(&reply);
    bp_circuit_free(&circuit);
    (void)unlink(path);
    (void)rmdir(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_made),     cmocka_unit_test(test_library),
        cmocka_unit_test(test_one_page), cmocka_unit_test(test_pdf),
        cmocka_unit_test(test_case),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
