/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files appear whole or not at all, and what was there stays when writing fails.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "render/canvas.h"

static char folder[64];

static int set_up(void **state) {
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/backprobe-test-XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    char command[100];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static const char *in_folder(const char *name) {
    static char path[2][200];
    static int turn;
    char *p = path[turn = !turn];
    snprintf(p, sizeof path[0], "%s/%s", folder, name);
    return p;
}

static size_t files_in_folder(void) {
    DIR *d = opendir(folder);
    size_t n = 0;
    for (struct dirent *e; (e = readdir(d));)
        n += e->d_name[0] != '.' || strlen(e->d_name) > 2;
    closedir(d);
    return n;
}

/* Two pages with a line of text; BP_OK and the first message, if any. */
static bp_status draw(const char *path, char *message, size_t size) {
    bp_report *report = bp_report_new();
    bp_canvas *canvas = bp_canvas_new(path, BP_PAPER_A4, "Horn & relay <1>", report);
    bp_status status = BP_ERR_USAGE;
    if (canvas) {
        bp_font font = {12, BP_REGULAR, BP_INK_BLACK, true};
        bp_text(canvas, 100, 100, "12.41 V at the horn", &font, BP_LEFT, 0);
        bp_canvas_next_page(canvas);
        bp_text(canvas, 100, 100, "page two", &font, BP_LEFT, 0);
        status = bp_canvas_finish(canvas, report);
    }
    snprintf(message, size, "%s", bp_report_count(report) ? bp_report_at(report, 0)->text : "");
    bp_canvas_free(&canvas);
    bp_report_free(&report);
    return status;
}

static void starts_with(const char *name, const void *magic, size_t size) {
    char start[16] = "";
    FILE *f = fopen(in_folder(name), "rb");
    assert_non_null(f);
    assert_int_equal(fread(start, 1, size, f), size);
    fclose(f);
    assert_memory_equal(start, magic, size);
}

static void test_formats(void **state) {
    (void)state;
    char message[300];
    assert_int_equal(draw(in_folder("a.png"), message, sizeof message), BP_OK);
    assert_int_equal(draw(in_folder("a.pdf"), message, sizeof message), BP_OK);
    assert_int_equal(draw(in_folder("a.svg"), message, sizeof message), BP_OK);
    starts_with("a.png", "\x89PNG\r\n\x1a\n", 8);
    starts_with("a-2.png", "\x89PNG", 4);
    starts_with("a.pdf", "%PDF-", 5);
    starts_with("a.svg", "<?xml", 5);
    starts_with("a-2.svg", "<?xml", 5);
    assert_int_equal(files_in_folder(), 5);
}

/* PNG: at least 150 dpi on A4 (210 mm x 297 mm, ISO 216). Width and height stand in the IHDR chunk
 * at bytes 16 and 20 (ISO/IEC 15948). */
static void test_png_is_sharp(void **state) {
    (void)state;
    char message[300];
    unsigned char head[24];
    assert_int_equal(draw(in_folder("a.png"), message, sizeof message), BP_OK);
    FILE *f = fopen(in_folder("a.png"), "rb");
    assert_int_equal(fread(head, 1, sizeof head, f), sizeof head);
    fclose(f);
    unsigned width = (unsigned)head[18] << 8 | head[19],
             height = (unsigned)head[22] << 8 | head[23];
    assert_true(width >= 210 / 25.4 * 150);
    assert_true(height >= 297 / 25.4 * 150);
}

/* The words of an SVG are outlines; title and text go in as <title> and <desc>, escaped. */
static void test_svg_words(void **state) {
    (void)state;
    char message[300], text[4000] = "";
    assert_int_equal(draw(in_folder("a.svg"), message, sizeof message), BP_OK);
    FILE *f = fopen(in_folder("a.svg"), "rb");
    text[fread(text, 1, sizeof text - 1, f)] = '\0';
    fclose(f);
    assert_non_null(strstr(text, "<title>Horn &amp; relay &lt;1&gt;</title>"));
    assert_non_null(strstr(text, "<desc>12.41 V at the horn\n</desc>"));
}

static void test_unknown_ending(void **state) {
    (void)state;
    char message[300];
    assert_int_equal(draw(in_folder("a.doc"), message, sizeof message), BP_ERR_USAGE);
    assert_non_null(strstr(message, ".pdf, .png or .svg"));
    assert_int_equal(files_in_folder(), 0);
}

static void test_no_such_folder(void **state) {
    (void)state;
    char message[300];
    assert_int_equal(draw(in_folder("not/there.pdf"), message, sizeof message), BP_ERR_FILE);
    assert_non_null(strstr(message, "make the folder first"));
}

static void write_text(const char *path, const char *text) {
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    fputs(text, f);
    fclose(f);
}

static void assert_text(const char *path, const char *text) {
    char found[64] = "";
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    found[fread(found, 1, sizeof found - 1, f)] = '\0';
    fclose(f);
    assert_string_equal(found, text);
}

/* The second page cannot take its place: the first must not either. */
static void test_all_pages_or_none(void **state) {
    (void)state;
    char message[300];
    write_text(in_folder("a.png"), "what was there");
    assert_int_equal(mkdir(in_folder("a-2.png"), 0777), 0);
    assert_int_equal(draw(in_folder("a.png"), message, sizeof message), BP_ERR_FILE);
    assert_non_null(strstr(message, "that is a folder"));
    assert_text(in_folder("a.png"), "what was there");
    assert_int_equal(files_in_folder(), 2);
}

/* A disk that takes no more than 1000 bytes a file. */
static void test_disk_full(void **state) {
    (void)state;
    char message[300];
    struct rlimit before, little = {1000, RLIM_INFINITY};
    write_text(in_folder("a.pdf"), "what was there");
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    little.rlim_max = before.rlim_max;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &little), 0);
    bp_status status = draw(in_folder("a.pdf"), message, sizeof message);
    setrlimit(RLIMIT_FSIZE, &before);
    assert_int_equal(status, BP_ERR_FILE);
    assert_non_null(strstr(message, strerror(EFBIG)));
    assert_text(in_folder("a.pdf"), "what was there");
    assert_int_equal(files_in_folder(), 1);
}

/* A link is followed: what it points to is replaced. */
static void test_link(void **state) {
    (void)state;
    char message[300];
    write_text(in_folder("real.pdf"), "old");
    assert_int_equal(symlink("real.pdf", in_folder("link.pdf")), 0);
    assert_int_equal(draw(in_folder("link.pdf"), message, sizeof message), BP_OK);
    starts_with("real.pdf", "%PDF-", 5);
    struct stat there;
    assert_int_equal(lstat(in_folder("link.pdf"), &there), 0);
    assert_true(S_ISLNK(there.st_mode));
}

static void test_dropped(void **state) {
    (void)state;
    bp_canvas *canvas = bp_canvas_new(in_folder("a.pdf"), BP_PAPER_LETTER, "dropped", NULL);
    bp_canvas_free(&canvas);
    assert_null(canvas);
    bp_canvas_free(&canvas);
    assert_int_equal(files_in_folder(), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_formats, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_png_is_sharp, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_svg_words, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_unknown_ending, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_no_such_folder, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_all_pages_or_none, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_disk_full, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_link, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_dropped, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
