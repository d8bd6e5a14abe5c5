/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The file of the book: is it one, can this version read it, what is amiss with it.
 *
 * A book carries its mark (application_id), its version (user_version) and one table. Everything
 * else in it would be somebody else's: triggers and views of a stranger's file never run, since a
 * file that has any is refused.
 */
#include "diagnose/repairs_private.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#define VERSION 1
#define MARK 0x42505250 /* "BPRP" */

/* STRICT: what is no text cannot get in. Numbers are never used twice, since no row is deleted. */
static const char table[] = "CREATE TABLE repairs ("
                            "number INTEGER PRIMARY KEY, "
                            "date TEXT NOT NULL, "
                            "circuit TEXT NOT NULL, "
                            "fault TEXT NOT NULL, "
                            "job TEXT NOT NULL, "
                            "state TEXT NOT NULL, "
                            "red TEXT NOT NULL, "
                            "black TEXT, "
                            "instrument TEXT NOT NULL, "
                            "before TEXT NOT NULL, "
                            "after TEXT NOT NULL, "
                            "gone INTEGER NOT NULL CHECK (gone = 1), "
                            "cause TEXT NOT NULL, "
                            "struck TEXT) STRICT";

#define TEXT_OF(x) #x
#define NUMBER_TEXT(x) TEXT_OF(x)

static const char begin_book[] =
    "PRAGMA application_id = " NUMBER_TEXT(MARK) "; PRAGMA user_version = " NUMBER_TEXT(VERSION);

static bp_status refuse(const bp_repairs *book, bp_report *report, const char *text) {
    bp_report_add(report, BP_MISTAKE, book->path, 0, 0, "%s", text);
    return BP_ERR_FILE;
}

static bp_status damaged(const bp_repairs *book, const char *found, bp_report *report) {
    bp_report_add(report, BP_MISTAKE, book->path, 0, 0,
                  "the book of repairs is damaged (%.120s): nothing was changed; put a copy of it "
                  "from before in its place, or set it aside and name another one with --file",
                  found);
    return BP_ERR_FILE;
}

bp_status bp_repairs_failed(const bp_repairs *book, int code, bp_report *report) {
    const int system = sqlite3_system_errno(book->db);
    switch (code & 0xff) {
    case SQLITE_NOMEM:
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory");
        return BP_ERR_MEMORY;
    case SQLITE_NOTADB:
        return refuse(book, report,
                      "this is no book of repairs, or one damaged beyond reading: nothing was "
                      "changed; name another file with --file");
    case SQLITE_CORRUPT:
        return damaged(book, sqlite3_errstr(code), report);
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return refuse(book, report,
                      "another program has been writing to the book of repairs all the time: "
                      "nothing was changed; try again");
    case SQLITE_READONLY:
    case SQLITE_PERM:
        return refuse(book, report,
                      "the book of repairs can only be read: nothing was changed; make the file "
                      "and its folder writable, or name another book with --file");
    case SQLITE_FULL:
        return refuse(book, report,
                      "the disk is full: nothing was changed in the book of repairs; free some "
                      "space and try again");
    case SQLITE_IOERR: /* the system's own reason is lost in the rollback */
        return refuse(book, report,
                      "the disk failed, or the file may not grow (disk I/O error): nothing was "
                      "changed in the book of repairs; free some space, or name a book on another "
                      "disk with --file");
    default:
        bp_report_add(report, BP_MISTAKE, book->path, 0, 0,
                      "the book of repairs cannot be used: %s%s%s; nothing was changed",
                      sqlite3_errstr(code), system ? ": " : "", system ? strerror(system) : "");
        return BP_ERR_FILE;
    }
}

int bp_repairs_run(const bp_repairs *book, const char *sql) {
    return sqlite3_exec(book->db, sql, NULL, NULL, NULL);
}

int bp_repairs_end(const bp_repairs *book, int code) {
    if (code == SQLITE_OK)
        code = bp_repairs_run(book, "COMMIT");
    if (code != SQLITE_OK && !sqlite3_get_autocommit(book->db))
        bp_repairs_run(book, "ROLLBACK");
    return code;
}

/* A single number out of the file. */
static int number_of(const bp_repairs *book, const char *sql, sqlite3_int64 *number) {
    sqlite3_stmt *statement;
    int code = sqlite3_prepare_v2(book->db, sql, -1, &statement, NULL);
    if (code != SQLITE_OK)
        return code;
    code = sqlite3_step(statement);
    if (code == SQLITE_ROW)
        *number = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    return code == SQLITE_ROW ? SQLITE_OK : code;
}

/* SQLite's own check of every page, and our table as it was made. */
static bp_status check_whole(const bp_repairs *book, bp_report *report) {
    sqlite3_stmt *check;
    bp_status status = BP_OK;
    int code = sqlite3_prepare_v2(book->db, "PRAGMA integrity_check(1)", -1, &check, NULL);
    if (code == SQLITE_OK)
        code = sqlite3_step(check);
    if (code != SQLITE_ROW)
        status = bp_repairs_failed(book, code, report);
    else if (strcmp((const char *)sqlite3_column_text(check, 0), "ok") != 0)
        status = damaged(book, (const char *)sqlite3_column_text(check, 0), report);
    sqlite3_finalize(check);
    if (status != BP_OK)
        return status;
    code = sqlite3_prepare_v2(book->db, "SELECT sql FROM sqlite_schema", -1, &check, NULL);
    if (code == SQLITE_OK)
        code = sqlite3_step(check);
    const char *found = code == SQLITE_ROW ? (const char *)sqlite3_column_text(check, 0) : NULL;
    const bool ours = found && strcmp(found, table) == 0 && sqlite3_step(check) == SQLITE_DONE;
    sqlite3_finalize(check);
    if (code != SQLITE_ROW && code != SQLITE_DONE)
        return bp_repairs_failed(book, code, report);
    return ours ? BP_OK : damaged(book, "its table is not as it was made", report);
}

/* SQLite takes what was cut off a file's last page for zeros. */
static bp_status check_length(const bp_repairs *book, bp_report *report) {
    sqlite3_int64 pages = 0, size = 0;
    struct stat facts;
    int code = number_of(book, "PRAGMA page_count", &pages);
    if (code == SQLITE_OK)
        code = number_of(book, "PRAGMA page_size", &size);
    if (code != SQLITE_OK || stat(book->path, &facts) != 0)
        return bp_repairs_failed(book, code == SQLITE_OK ? SQLITE_IOERR : code, report);
    return facts.st_size == pages * size ? BP_OK : damaged(book, "its end is missing", report);
}

static bp_status begin_a_book(const bp_repairs *book, bp_report *report) {
    int code = bp_repairs_run(book, begin_book);
    if (code == SQLITE_OK)
        code = bp_repairs_run(book, table);
    return code == SQLITE_OK ? BP_OK : bp_repairs_failed(book, code, report);
}

static bp_status check_inside(bp_repairs *book, bool writing, bp_report *report) {
    sqlite3_int64 mark = 0, version = 0, things = 0;
    int code = number_of(book, "PRAGMA application_id", &mark);
    if (code == SQLITE_OK)
        code = number_of(book, "PRAGMA user_version", &version);
    if (code == SQLITE_OK)
        code = number_of(book, "SELECT count(*) FROM sqlite_schema", &things);
    if (code != SQLITE_OK)
        return bp_repairs_failed(book, code, report);
    if (mark == 0 && version == 0 && things == 0) {
        if (writing)
            return begin_a_book(book, report);
        sqlite3_close(book->db); /* as empty as one that is not there */
        book->db = NULL;
        return BP_OK;
    }
    if (mark != MARK)
        return refuse(book, report,
                      "this is another program's database, not a book of repairs: nothing was "
                      "changed; name another file with --file");
    if (version > VERSION) {
        bp_report_add(report, BP_MISTAKE, book->path, 0, 0,
                      "this book of repairs was written by a newer backprobe (form %lld; this one "
                      "knows up to %d): nothing was changed; use the newer program, or name "
                      "another book with --file",
                      (long long)version, VERSION);
        return BP_ERR_FILE;
    }
    const bp_status status = check_length(book, report);
    return status == BP_OK ? check_whole(book, report) : status;
}

bp_status bp_repairs_check_file(bp_repairs *book, bool writing, bp_report *report) {
    int code = bp_repairs_run(book, writing ? "BEGIN IMMEDIATE" : "BEGIN");
    if (code != SQLITE_OK)
        return bp_repairs_failed(book, code, report);
    bp_status status = check_inside(book, writing, report);
    if (!book->db)
        return status;
    code = bp_repairs_end(book, status == BP_OK ? SQLITE_OK : SQLITE_ERROR);
    if (status == BP_OK && code != SQLITE_OK)
        return bp_repairs_failed(book, code, report);
    return status;
}
