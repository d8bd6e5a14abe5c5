/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The book of repairs lives through everything: a kill at any moment, a disk that fails or fills,
 * two programs at once, damage, files that are somebody else's.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "tests/diagnose/bad_disk.h"
#include "tests/diagnose/book.h"

static void kept(void *data, const bp_repair *r) {
    (void)data;
    assert_string_equal(r->date, "2026-03-02");
    assert_string_equal(r->fault, "G3:resistance=0.4ohm"); /* as faults are written */
    assert_string_equal(r->job, "'; DROP TABLE repairs; --");
    assert_string_equal(r->black, "G3/body");
    assert_string_equal(r->instrument, "millivolts");
    assert_string_equal(r->cause, "%s \xc2\xb5 \"salt\", '?1'");
    assert_null(r->struck);
}

/* What goes in comes out, whatever is written in it. */
static void test_round_trip(void **state) {
    (void)state;
    book b;
    book_set(&b);
    bp_repair entry = book_entry("G3:resistance=400mohm");
    entry.date = "2026-03-02";
    entry.job = "'; DROP TABLE repairs; --";
    entry.red = "G3";
    entry.black = "G3/body";
    entry.instrument = "millivolts";
    entry.before = "0.8 V";
    entry.after = "3 mV";
    entry.cause = "%s \xc2\xb5 \"salt\", '?1'";
    bp_repairs *repairs;
    long long number = 0;
    assert_int_equal(bp_repairs_open(b.path, true, &repairs, b.report), BP_OK);
    if (bp_repairs_add(repairs, b.circuit, &entry, &number, b.report) != BP_OK)
        fail_msg("%s", book_messages(&b));
    assert_int_equal(number, 1);
    assert_int_equal(bp_repairs_each(repairs, "horn", kept, NULL, b.report), BP_OK);
    bp_repairs_close(&repairs);
    book_clear(&b);
}

/* Adds in a process that is killed at a moment. True when it lived to the end. */
static bool add_and_die(book *b, size_t moment) {
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        bad_disk_set(BAD_DISK_KILL, moment);
        _exit(book_add(b, "W6:open") == BP_OK ? 0 : 1);
    }
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status) || WEXITSTATUS(status) == 0);
    return !WIFSIGNALED(status);
}

/* A kill at every single write, synchronisation and deletion, halfway through the writes: the book
 * holds what it held, or one entry more, and takes the next one. */
static void kill_everywhere(bool begun) {
    book b;
    book_set(&b);
    size_t moment = 1, kills = 0;
    for (bool lived = false; !lived; moment++) {
        if (!begun)
            (void)unlink(b.path);
        const size_t before = book_count(&b);
        lived = add_and_die(&b, moment);
        kills += !lived;
        const size_t after = book_count(&b);
        assert_true(after == before + 1 || (!lived && after == before));
        assert_int_equal(book_add(&b, "W7:open"), BP_OK);
        assert_int_equal(book_count(&b), after + 1);
    }
    assert_true(kills >= 6); /* journal and pages, written and synchronised, and the deletion */
    book_clear(&b);
}

static void test_kill_while_begun(void **state) {
    (void)state;
    kill_everywhere(false);
}

static void test_kill_while_added(void **state) {
    (void)state;
    kill_everywhere(true);
}

/* A child that adds until it is killed and says so after each entry. */
static pid_t start_adding(book *b, int *said) {
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        (void)close(ends[0]);
        while (book_add(b, "W6:open") == BP_OK && write(ends[1], "+", 1) == 1)
            usleep(500); /* people pause between two entries, too */
        _exit(1);
    }
    (void)close(ends[1]);
    *said = ends[0];
    return child;
}

static size_t count_to_end(int from) {
    char c;
    size_t n = 0;
    while (read(from, &c, 1) == 1)
        n++;
    (void)close(from);
    return n;
}

/* Two programs add at once and are killed from outside, again and again: nothing that was reported
 * is lost, and at most one entry each was written without being reported. */
static void test_killed_side_by_side(void **state) {
    (void)state;
    enum { ROUNDS = 25 };
    book b;
    book_set(&b);
    size_t reported = 0;
    for (unsigned round = 0; round < ROUNDS; round++) {
        int said[2];
        char c;
        const pid_t first = start_adding(&b, &said[0]), second = start_adding(&b, &said[1]);
        for (unsigned i = 0; i <= round % 5; i++, reported++)
            assert_int_equal(read(said[i % 2], &c, 1), 1);
        usleep(round * 137 % 2000); /* somewhere in the middle of the next one */
        kill(first, SIGKILL);
        kill(second, SIGKILL);
        int status;
        assert_int_equal(waitpid(first, &status, 0), first);
        assert_true(WIFSIGNALED(status)); /* it never failed by itself */
        assert_int_equal(waitpid(second, &status, 0), second);
        assert_true(WIFSIGNALED(status));
        reported += count_to_end(said[0]) + count_to_end(said[1]);
        const size_t n = book_count(&b);
        assert_true(n >= reported && n <= reported + 2);
        reported = n;
    }
    book_clear(&b);
}

/* A disk that is full or fails from some moment on: an error, and the book as it was. */
static void fail_everywhere(bad_disk_sort sort, const char *words) {
    book b;
    book_set(&b);
    assert_int_equal(book_add(&b, "W6:open"), BP_OK);
    size_t failures = 0;
    for (size_t moment = 1;; moment++) {
        const size_t before = book_count(&b);
        bad_disk_set(sort, moment);
        const bp_status status = book_add(&b, "W7:open");
        const bool struck = bad_disk_struck();
        bad_disk_set(sort, 0);
        if (!struck)
            break;
        assert_int_equal(status, BP_ERR_FILE);
        failures += strstr(book_messages(&b), words) != NULL;
        assert_int_equal(book_count(&b), before);
    }
    assert_true(failures >= 4);
    book_clear(&b);
}

static void test_full(void **state) {
    (void)state;
    fail_everywhere(BAD_DISK_FULL, "the disk is full");
}

static void test_faulty(void **state) {
    (void)state;
    fail_everywhere(BAD_DISK_FAULT, "disk I/O error");
}

/* Opening for a change is refused with these words, and not a byte of the file is touched. */
static void refused(book *b, const char *words) {
    size_t size, after;
    unsigned char *bytes = book_bytes(b, &size);
    assert_int_equal(book_add(b, "W6:open"), BP_ERR_FILE);
    const char *said = book_messages(b);
    if (!strstr(said, words))
        fail_msg("\"%s\" is not in \"%s\"", words, said);
    unsigned char *same = book_bytes(b, &after);
    assert_int_equal(size, after);
    assert_memory_equal(bytes, same, size);
    free(bytes);
    free(same);
}

/* Does something to the file behind the program's back. */
static void alter(const book *b, const char *sql) {
    sqlite3 *db;
    assert_int_equal(sqlite3_open(b->path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

static void test_not_ours(void **state) {
    (void)state;
    static const struct {
        const char *sql, *words;
    } strange[] = {
        {"PRAGMA user_version = 2", "newer backprobe"},
        {"PRAGMA application_id = 1", "another program's database"},
        {"CREATE TRIGGER t AFTER INSERT ON repairs BEGIN DELETE FROM repairs; END", "damaged"},
        {"CREATE TABLE other (a)", "damaged"},
        {"ALTER TABLE repairs ADD COLUMN more TEXT", "damaged"},
        {"DROP TABLE repairs", "damaged"},
    };
    for (size_t i = 0; i < sizeof strange / sizeof *strange; i++) {
        book b;
        book_set(&b);
        assert_int_equal(book_add(&b, "W6:open"), BP_OK);
        alter(&b, strange[i].sql);
        refused(&b, strange[i].words);
        book_clear(&b);
    }
    book b;
    book_set(&b);
    alter(&b, "CREATE TABLE shopping (what TEXT)");
    refused(&b, "another program's database");
    book_put_bytes(&b, (const unsigned char *)"backprobe: 1\n", 13);
    refused(&b, "no book of repairs");
    book_clear(&b);
}

/* Every byte of the pages' heads, and every 17th of the rest, inverted; and the file cut off. What
 * is noticed is refused untouched, what cannot be noticed (a letter in a word) stays readable. */
static void test_damage(void **state) {
    (void)state;
    book b;
    book_set(&b);
    for (int i = 0; i < 3; i++)
        assert_int_equal(book_add(&b, "W6:open"), BP_OK);
    size_t size, noticed = 0;
    unsigned char *good = book_bytes(&b, &size), *bad = malloc(size);
    assert_non_null(bad);
    for (size_t at = 0; at < size; at += at % 4096 < 112 ? 1 : 17) {
        memcpy(bad, good, size);
        bad[at] ^= 0xff;
        book_put_bytes(&b, bad, size);
        bp_repairs *repairs;
        if (bp_repairs_open(b.path, true, &repairs, b.report) != BP_OK) {
            noticed++;
            refused(&b, b.path);
        }
        bp_repairs_close(&repairs);
    }
    for (size_t length = 2; length < size; length += 509) { /* SQLite takes one byte for none */
        book_put_bytes(&b, good, length);
        refused(&b, b.path);
    }
    assert_true(noticed > 60);
    free(good);
    free(bad);
    book_clear(&b);
}

/* Somebody who may not write: root is let down to nobody first, since root may always. */
static void test_read_only(void **state) {
    (void)state;
    book b;
    book_set(&b);
    assert_int_equal(book_add(&b, "W6:open"), BP_OK);
    assert_int_equal(chmod(b.path, 0444), 0);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (getuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0))
            _exit(9);
        if (book_count(&b) != 1)
            _exit(1);
        if (book_add(&b, "W6:open") != BP_ERR_FILE)
            _exit(2);
        _exit(strstr(book_messages(&b), "can only be read") ? 0 : 3);
    }
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    assert_int_equal(book_count(&b), 1);
    book_clear(&b);
}

static void note_struck(void *data, const bp_repair *r) {
    if (r->number == 2)
        *(bool *)data = r->struck && strcmp(r->struck, "came back") == 0;
    else
        assert_null(r->struck);
}

static void test_strike(void **state) {
    (void)state;
    book b;
    book_set(&b);
    for (int i = 0; i < 3; i++)
        assert_int_equal(book_add(&b, "W6:open"), BP_OK);
    bp_repairs *repairs;
    bool struck = false;
    assert_int_equal(bp_repairs_open(b.path, true, &repairs, b.report), BP_OK);
    assert_int_equal(bp_repairs_strike(repairs, 2, "came back", b.report), BP_OK);
    assert_int_equal(bp_repairs_each(repairs, NULL, note_struck, &struck, b.report), BP_OK);
    assert_true(struck);
    /* Once is enough, and there is no entry 4. */
    assert_int_equal(bp_repairs_strike(repairs, 2, "again", b.report), BP_ERR_INPUT);
    assert_int_equal(bp_repairs_strike(repairs, 4, "again", b.report), BP_ERR_INPUT);
    bp_repairs_close(&repairs);
    book_clear(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_round_trip),
        cmocka_unit_test(test_kill_while_begun),
        cmocka_unit_test(test_kill_while_added),
        cmocka_unit_test(test_killed_side_by_side),
        cmocka_unit_test(test_full),
        cmocka_unit_test(test_faulty),
        cmocka_unit_test(test_not_ours),
        cmocka_unit_test(test_damage),
        cmocka_unit_test(test_read_only),
        cmocka_unit_test(test_strike),
    };
    bad_disk_install();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
