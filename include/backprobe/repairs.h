/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The book of proved repairs: which fault it was, which reading proved it, what had caused it. One
 * SQLite file; it feeds the ranking's prior weights.
 *
 *     bp_repairs *book;
 *     if (bp_repairs_open(NULL, true, &book, report) == BP_OK) {
 *         bp_repair repair = {.fault = "G3:resistance=1.5ohm", ...};
 *         bp_repairs_add(book, circuit, &repair, NULL, report);
 *     }
 *     bp_repairs_close(&book);
 *
 * What was added is on the disk when bp_repairs_add returns BP_OK; a program that is killed, a full
 * disk or a lost supply at any moment before leaves the book as it was. Several programs may use
 * one book at once. A file that is damaged, is no book, or was made by a newer version is refused
 * and left alone.
 */
#ifndef BACKPROBE_REPAIRS_H
#define BACKPROBE_REPAIRS_H

#include <stdbool.h>

#include <backprobe/circuit.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bp_repairs bp_repairs;

/* One entry. To add one, all texts are needed but `date` (NULL: today), `black` (NULL: the
 * reference), `instrument` (NULL: volts) and `struck`. */
typedef struct bp_repair {
    long long number;    /* given by the book, from 1 */
    const char *date;    /* day of the repair, "2026-03-02" */
    const char *circuit; /* id; bp_repairs_add takes that of its circuit */
    const char *fault;   /* one fault: "G3:resistance=1.5ohm" */
    const char *job;     /* which case it was: its file, a job number, or the complaint */
    const char *state;   /* the telling reading: state, leads, instrument ... */
    const char *red, *black;
    const char *instrument;     /* name of a bp_instrument */
    const char *before, *after; /* ... and what it showed: "7.93 V", "OL", "dim" */
    bool gone;                  /* the complaint is gone */
    const char *cause;          /* why did it blow or corrode? */
    const char *struck; /* NULL, or why the entry no longer counts: the complaint came back ... */
} bp_repair;

/* "backprobe/repairs.sqlite" in the XDG data folder, owned by the caller (free); NULL when there is
 * no home. */
char *bp_repairs_path(void);

/* Opens the book at `path`, NULL: bp_repairs_path. With `writing` a book that is not there is
 * begun, its folder too. Without, a book in its usual place that is not there is an empty one,
 * while one that was named is a mistake. On failure *book is NULL and the report says why:
 * BP_ERR_FILE, BP_ERR_MEMORY. */
bp_status bp_repairs_open(const char *path, bool writing, bp_repairs **book, bp_report *report);
void bp_repairs_close(bp_repairs **book);

/* Whether an entry may be added. BP_OK, or BP_ERR_INPUT with every mistake in the report: something
 * is missing, the fault, the state or a lead is none of the circuit's, a value does not fit the
 * instrument, the reading did not change, the complaint is not gone. */
bp_status bp_repairs_check(const bp_circuit *circuit, const bp_repair *repair, bp_report *report);

/* Checks and adds an entry; *number (or NULL) is its own. */
bp_status bp_repairs_add(bp_repairs *book, const bp_circuit *circuit, const bp_repair *repair,
                         long long *number, bp_report *report);

/* The entry stays in the book, but counts no more: `why` tells why ("came back after a week"). */
bp_status bp_repairs_strike(bp_repairs *book, long long number, const char *why, bp_report *report);

/* Calls `take` with every entry, oldest number first; those of one circuit unless `circuit` is
 * NULL. The texts last as long as the call. Entries about circuits or faults that are no more are
 * among them. */
bp_status bp_repairs_each(bp_repairs *book, const char *circuit,
                          void (*take)(void *data, const bp_repair *repair), void *data,
                          bp_report *report);

#ifdef __cplusplus
}
#endif
#endif
