/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Status codes and the list of mistakes that a loader or checker hands back.
 *
 * A function that can fail returns bp_status; when it takes a bp_report, every mistake it found is
 * in there, in the order of the file, and the status only says of which sort the worst one is.
 */
#ifndef BACKPROBE_REPORT_H
#define BACKPROBE_REPORT_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* One list makes both the codes and their texts, so that they cannot drift apart. */
#define BP_STATUS_LIST(X)                                                                          \
    X(BP_OK, "done")                                                                               \
    X(BP_ERR_MEMORY, "out of memory")                                                              \
    X(BP_ERR_INPUT, "mistakes in the input")                                                       \
    X(BP_ERR_USAGE, "wrong usage")                                                                 \
    X(BP_ERR_FILE, "a file cannot be read or written")                                             \
    X(BP_ERR_SOLVER, "the circuit solver failed")

typedef enum bp_status {
#define X(code, text) code,
    BP_STATUS_LIST(X)
#undef X
} bp_status;

/* The text of a status code; static, never NULL. */
const char *bp_status_text(bp_status status);

typedef enum bp_severity { BP_NOTE, BP_WARNING, BP_MISTAKE } bp_severity;

/* One message. Strings belong to the report. line and column count from 1; 0 = not known. */
typedef struct bp_message {
    bp_severity severity;
    const char *file; /* as the user named it, or NULL */
    size_t line, column;
    const char *text; /* what was found, what was expected, what to do: one sentence or two */
} bp_message;

typedef struct bp_report bp_report;

/* A new empty report, or NULL when memory is out. A report that once failed to grow keeps that as
 * its state. */
bp_report *bp_report_new(void);
void bp_report_free(bp_report **report);

/* Adds a message; printf-like. report may be NULL (the message is dropped). Control characters in
 * the text are escaped. */
void bp_report_add(bp_report *report, bp_severity severity, const char *file, size_t line,
                   size_t column, const char *format, ...) __attribute__((format(printf, 6, 7)));

size_t bp_report_count(const bp_report *report);                          /* all messages */
size_t bp_report_count_of(const bp_report *report, bp_severity severity); /* of one severity */
const bp_message *bp_report_at(const bp_report *report, size_t index);

#ifdef __cplusplus
}
#endif
#endif
