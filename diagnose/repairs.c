/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The book of repairs: opened, added to, read. Every text goes in as a bound parameter.
 */
#include "diagnose/repairs_private.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include <backprobe/predict.h>

#include "circuits/fault.h"
#include "circuits/folders.h"
#include "circuits/memory.h"

/* Another program is writing: looked again so often, in all long enough for it to end its entry on
 * a slow disk. SQLite's own handler looks every 100 ms in the end, and a busy writer is rarely idle
 * just then. */
enum { LOOK_MILLISECONDS = 5, LOOKS = 2000 };

/* No entry of ours comes near it; a damaged or strange file cannot ask for more memory. */
enum { LONGEST_ROW = 1000000 };

char *bp_repairs_path(void) { return bp_data_path("repairs.sqlite"); }

/* Makes the folders above the file, as far as they are not there. */
static bp_status make_folders(const char *path, bp_report *report) {
    char *folder = bp_copy(path);
    if (!folder)
        return BP_ERR_MEMORY;
    bp_status status = BP_OK;
    for (char *slash = folder + 1; status == BP_OK && (slash = strchr(slash, '/')); slash++) {
        *slash = '\0';
        if (mkdir(folder, 0700) != 0 && errno != EEXIST) {
            bp_report_add(report, BP_MISTAKE, folder, 0, 0,
                          "this folder for the book of repairs cannot be made: %s; name another "
                          "place with --file",
                          strerror(errno));
            status = BP_ERR_FILE;
        }
        *slash = '/';
    }
    free(folder);
    return status;
}

static int look_again(void *data, int looks) {
    (void)data;
    sqlite3_sleep(LOOK_MILLISECONDS);
    return looks < LOOKS;
}

static void set_up(const bp_repairs *book) {
    sqlite3_extended_result_codes(book->db, 1);
    sqlite3_busy_handler(book->db, look_again, NULL);
    sqlite3_limit(book->db, SQLITE_LIMIT_LENGTH, LONGEST_ROW);
    sqlite3_db_config(book->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(book->db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
}

/* Opens the file itself. The folder of the journal is synchronised too (EXTRA): an entry that was
 * reported as written outlives a lost supply. Cells are looked at before they are used. */
static bp_status open_file(bp_repairs *book, bool writing, bp_report *report) {
    int flags = SQLITE_OPEN_READWRITE | (writing ? SQLITE_OPEN_CREATE : 0);
    int code = sqlite3_open_v2(book->path, &book->db, flags, NULL);
    if (code == SQLITE_OK) {
        set_up(book);
        code = bp_repairs_run(book, "PRAGMA cell_size_check = ON; PRAGMA synchronous = EXTRA");
    }
    if (code != SQLITE_OK)
        return bp_repairs_failed(book, code, report);
    if (writing && sqlite3_db_readonly(book->db, "main") == 1)
        return bp_repairs_failed(book, SQLITE_READONLY, report);
    return bp_repairs_check_file(book, writing, report);
}

static bp_status find_file(bp_repairs *book, bool named, bool writing, bool *there,
                           bp_report *report) {
    struct stat facts;
    *there = stat(book->path, &facts) == 0;
    const int reason = *there ? 0 : errno;
    if (*there && !S_ISREG(facts.st_mode)) {
        bp_report_add(report, BP_MISTAKE, book->path, 0, 0,
                      "a book of repairs is a file, and this is none: name one with --file");
        return BP_ERR_FILE;
    }
    if (*there || (!named && !writing && reason == ENOENT))
        return BP_OK;
    if (writing && !named)
        return make_folders(book->path, report);
    if (writing && reason == ENOENT)
        return BP_OK;
    bp_report_add(report, BP_MISTAKE, book->path, 0, 0,
                  "there is no book of repairs here (%s): 'repairs add' begins one",
                  strerror(reason));
    return BP_ERR_FILE;
}

bp_status bp_repairs_open(const char *path, bool writing, bp_repairs **book, bp_report *report) {
    *book = NULL;
    bp_repairs *b = bp_zeroed(1, sizeof *b);
    if (b)
        b->path = path ? bp_copy(path) : bp_repairs_path();
    if (!b || (path && !b->path)) {
        bp_repairs_close(&b);
        return BP_ERR_MEMORY;
    }
    bool there = false;
    bp_status status = BP_OK;
    if (b->path) {
        status = find_file(b, path != NULL, writing, &there, report);
    } else if (writing) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "there is no home folder to keep the book of repairs in: name a file with "
                      "--file, or set XDG_DATA_HOME");
        status = BP_ERR_FILE;
    }
    if (status == BP_OK && (there || writing))
        status = open_file(b, writing, report);
    if (status == BP_OK)
        *book = b;
    else
        bp_repairs_close(&b);
    return status;
}

void bp_repairs_close(bp_repairs **book) {
    if (!*book)
        return;
    sqlite3_close((*book)->db);
    free((*book)->path);
    free(*book);
    *book = NULL;
}

/* One statement with its texts bound in order, run to its end. */
static int run_bound(const bp_repairs *book, const char *sql, const char *const *texts, int n) {
    sqlite3_stmt *statement;
    int code = sqlite3_prepare_v2(book->db, sql, -1, &statement, NULL);
    for (int i = 0; i < n && code == SQLITE_OK; i++)
        code = texts[i] ? sqlite3_bind_text(statement, i + 1, texts[i], -1, SQLITE_STATIC)
                        : sqlite3_bind_null(statement, i + 1);
    if (code == SQLITE_OK)
        code = sqlite3_step(statement);
    sqlite3_finalize(statement);
    return code == SQLITE_DONE ? SQLITE_OK : code;
}

/* The same as one change of the book: wholly or not at all. *rows is how many it touched. */
static bp_status change(const bp_repairs *book, const char *sql, const char *const *texts, int n,
                        int *rows, bp_report *report) {
    *rows = 0;
    if (!book->db)
        return BP_OK;
    int code = bp_repairs_run(book, "BEGIN IMMEDIATE");
    if (code == SQLITE_OK)
        code = run_bound(book, sql, texts, n);
    const int touched = sqlite3_changes(book->db);
    code = bp_repairs_end(book, code);
    if (code != SQLITE_OK)
        return bp_repairs_failed(book, code, report);
    *rows = touched;
    return BP_OK;
}

static void today(char *text, size_t size) {
    const time_t now = time(NULL);
    struct tm day;
    localtime_r(&now, &day);
    strftime(text, size, "%Y-%m-%d", &day);
}

bp_status bp_repairs_add(bp_repairs *book, const bp_circuit *circuit, const bp_repair *repair,
                         long long *number, bp_report *report) {
    static const char sql[] =
        "INSERT INTO repairs (date, circuit, fault, job, state, red, black, instrument, before, "
        "after, gone, cause) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, 1, ?11)";
    char day[16], fault[160], why[8];
    bp_fault_case faults;
    if (bp_repairs_check(circuit, repair, report) != BP_OK)
        return BP_ERR_INPUT;
    today(day, sizeof day);
    (void)bp_fault_parse(circuit, repair->fault, &faults, why, sizeof why); /* it was read before */
    bp_fault_write(circuit, &faults, fault, sizeof fault);
    const char *const texts[] = {repair->date ? repair->date : day,
                                 circuit->id,
                                 fault,
                                 repair->job,
                                 repair->state,
                                 repair->red,
                                 repair->black,
                                 repair->instrument ? repair->instrument
                                                    : bp_instrument_name(BP_VOLTS),
                                 repair->before,
                                 repair->after,
                                 repair->cause};
    int rows;
    bp_status status = change(book, sql, texts, (int)(sizeof texts / sizeof *texts), &rows, report);
    if (status == BP_OK && number)
        *number = sqlite3_last_insert_rowid(book->db);
    return status;
}

bp_status bp_repairs_strike(bp_repairs *book, long long number, const char *why,
                            bp_report *report) {
    static const char sql[] = "UPDATE repairs SET struck = ?1 "
                              "WHERE number = CAST(?2 AS INTEGER) AND struck IS NULL";
    char text[24];
    int rows;
    snprintf(text, sizeof text, "%lld", number);
    if (!bp_repairs_check_words("why", why, report))
        return BP_ERR_INPUT;
    bp_status status = change(book, sql, (const char *const[]){why, text}, 2, &rows, report);
    if (status != BP_OK || rows == 1)
        return status;
    bp_report_add(report, BP_MISTAKE, book->path, 0, 0,
                  "there is no entry %lld that still counts: 'repairs list' shows the numbers",
                  number);
    return BP_ERR_INPUT;
}

static bp_repair entry_of(sqlite3_stmt *row) {
    const char *text[13];
    for (int i = 1; i < 13; i++)
        text[i] = (const char *)sqlite3_column_text(row, i);
    return (bp_repair){.number = sqlite3_column_int64(row, 0),
                       .date = text[1],
                       .circuit = text[2],
                       .fault = text[3],
                       .job = text[4],
                       .state = text[5],
                       .red = text[6],
                       .black = text[7],
                       .instrument = text[8],
                       .before = text[9],
                       .after = text[10],
                       .gone = true,
                       .cause = text[11],
                       .struck = text[12]};
}

/* A text column without its text: memory is out (the table allows none in these). */
static bool is_whole(const bp_repair *r) {
    return r->date && r->circuit && r->fault && r->job && r->state && r->red && r->instrument &&
           r->before && r->after && r->cause;
}

bp_status bp_repairs_each(bp_repairs *book, const char *circuit,
                          void (*take)(void *data, const bp_repair *repair), void *data,
                          bp_report *report) {
    static const char sql[] =
        "SELECT number, date, circuit, fault, job, state, red, black, instrument, before, after, "
        "cause, struck FROM repairs WHERE ?1 IS NULL OR circuit = ?1 ORDER BY number";
    sqlite3_stmt *rows;
    if (!book->db)
        return BP_OK;
    int code = sqlite3_prepare_v2(book->db, sql, -1, &rows, NULL);
    if (code == SQLITE_OK && circuit)
        code = sqlite3_bind_text(rows, 1, circuit, -1, SQLITE_STATIC);
    while (code == SQLITE_OK && (code = sqlite3_step(rows)) == SQLITE_ROW) {
        const bp_repair repair = entry_of(rows);
        code = is_whole(&repair) ? SQLITE_OK : SQLITE_NOMEM;
        if (code == SQLITE_OK)
            take(data, &repair);
    }
    sqlite3_finalize(rows);
    return code == SQLITE_DONE ? BP_OK : bp_repairs_failed(book, code, report);
}
