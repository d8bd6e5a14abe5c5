/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/diagnose/book.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "tests/circuits/files.h"

void book_set(book *b) {
    b->circuit = files_horn(&b->report);
    (void)book_messages(b);
    snprintf(b->folder, sizeof b->folder, "/tmp/bp-book-XXXXXX");
    assert_non_null(mkdtemp(b->folder));
    assert_int_equal(chmod(b->folder, 0755), 0);
    snprintf(b->path, sizeof b->path, "%s/book", b->folder);
}

void book_clear(book *b) {
    char journal[100];
    snprintf(journal, sizeof journal, "%s-journal", b->path);
    (void)unlink(journal);
    (void)unlink(b->path);
    assert_int_equal(rmdir(b->folder), 0);
    bp_circuit_free(&b->circuit);
    bp_report_free(&b->report);
}

bp_repair book_entry(const char *fault) {
    return (bp_repair){.fault = fault,
                       .job = "job 7",
                       .state = "pressed",
                       .red = "D",
                       .before = "0.02 V",
                       .after = "12.1 V",
                       .gone = true,
                       .cause = "chafed on the grille bracket"};
}

bp_status book_add(book *b, const char *fault) {
    bp_repairs *repairs;
    const bp_repair entry = book_entry(fault);
    bp_status status = bp_repairs_open(b->path, true, &repairs, b->report);
    if (status == BP_OK)
        status = bp_repairs_add(repairs, b->circuit, &entry, NULL, b->report);
    bp_repairs_close(&repairs);
    return status;
}

static void count_whole(void *data, const bp_repair *r) {
    size_t *n = data;
    assert_int_equal(r->number, (long long)++*n);
    assert_string_equal(r->circuit, "horn");
    assert_string_equal(r->before, "0.02 V");
    assert_string_equal(r->after, "12.1 V");
    assert_string_equal(r->cause, "chafed on the grille bracket");
    assert_true(r->gone);
}

size_t book_count(book *b) {
    bp_repairs *repairs;
    size_t n = 0;
    if (access(b->path, F_OK) != 0)
        return 0;
    if (bp_repairs_open(b->path, false, &repairs, b->report) != BP_OK ||
        bp_repairs_each(repairs, NULL, count_whole, &n, b->report) != BP_OK)
        fail_msg("%s", book_messages(b));
    bp_repairs_close(&repairs);
    return n;
}

const char *book_messages(book *b) {
    static char text[20000];
    snprintf(text, sizeof text, "%s", files_messages(b->report));
    bp_report_free(&b->report);
    b->report = bp_report_new();
    assert_non_null(b->report);
    return text;
}

unsigned char *book_bytes(const book *b, size_t *size) {
    FILE *file = fopen(b->path, "rb");
    assert_non_null(file);
    unsigned char *bytes = malloc(1000000);
    assert_non_null(bytes);
    *size = fread(bytes, 1, 1000000, file);
    assert_int_equal(fclose(file), 0);
    return bytes;
}

void book_put_bytes(const book *b, const unsigned char *bytes, size_t size) {
    FILE *file = fopen(b->path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, size, file), size);
    assert_int_equal(fclose(file), 0);
}
