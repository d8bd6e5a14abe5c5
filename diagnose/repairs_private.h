/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files of the book of repairs share.
 */
#ifndef BP_DIAGNOSE_REPAIRS_PRIVATE_H
#define BP_DIAGNOSE_REPAIRS_PRIVATE_H

#include <sqlite3.h>

#include <backprobe/repairs.h>

struct bp_repairs {
    char *path;  /* as the user named it */
    sqlite3 *db; /* NULL: a book that is not there yet, which is empty */
};

/* Says why the last call failed and what to do; the code of the library becomes a status. */
bp_status bp_repairs_failed(const bp_repairs *book, int code, bp_report *report);

/* Runs statements that give no rows and hold no texts from outside. Returns SQLite's code. */
int bp_repairs_run(const bp_repairs *book, const char *sql);

/* Ends a transaction: for good, or as if it had not been. `code` is what its work returned. */
int bp_repairs_end(const bp_repairs *book, int code);

/* Looks whether the open file is a book that this version can read; begins one in an empty file
 * when `writing`. BP_OK, or what is wrong is in the report. */
bp_status bp_repairs_check_file(bp_repairs *book, bool writing, bp_report *report);

/* True when there are words that can be kept in an entry; else what is wrong with `what` is in the
 * report. */
bool bp_repairs_check_words(const char *what, const char *words, bp_report *report);

#endif
