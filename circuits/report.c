/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/report.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/text.h"

/* Longest text of one message in bytes; what comes after is cut off. */
enum { LONGEST = 2000 };

typedef struct entry {
    bp_message message;
    size_t order; /* in which it came */
} entry;

struct bp_report {
    entry *entries;
    size_t n;
    char **files; /* names that the messages point to */
    size_t n_files;
    bool failed;
};

const char *bp_status_text(bp_status status) {
    switch (status) {
#define X(code, text)                                                                              \
    case code:                                                                                     \
        return text;
        BP_STATUS_LIST(X)
#undef X
    }
    return "unknown status";
}

bp_report *bp_report_new(void) { return bp_zeroed(1, sizeof(bp_report)); }

void bp_report_free(bp_report **report) {
    if (!report || !*report)
        return;
    bp_report *r = *report;
    for (size_t i = 0; i < r->n; i++)
        free((char *)r->entries[i].message.text);
    for (size_t i = 0; i < r->n_files; i++)
        free(r->files[i]);
    free(r->entries);
    free(r->files);
    free(r);
    *report = NULL;
}

/* The report's own copy of a file name. Most messages of one report are about one file. */
static const char *keep_file(bp_report *report, const char *file) {
    for (size_t i = report->n_files; i-- > 0;)
        if (strcmp(report->files[i], file) == 0)
            return report->files[i];
    char **files = bp_room(report->files, report->n_files, sizeof *files);
    if (!files)
        return NULL;
    report->files = files;
    char *copy = bp_copy(file);
    if (copy)
        files[report->n_files++] = copy;
    return copy;
}

/* The text with everything escaped that could move the cursor, end a line or not be shown at all.
 */
static char *escaped(const char *text) {
    size_t length = strlen(text);
    char *out = malloc(4 * length + 1);
    if (!out)
        return NULL;
    size_t n = 0;
    for (size_t i = 0; i < length;) {
        size_t width = bp_text_width(text + i, length - i);
        if (width > 0 && bp_text_shows(text + i, width)) {
            memcpy(out + n, text + i, width);
            n += width;
            i += width;
        } else {
            n += (size_t)sprintf(out + n, "\\x%02x", (unsigned)(unsigned char)text[i]);
            i++;
        }
    }
    out[n] = '\0';
    return out;
}

void bp_report_add_list(bp_report *report, bp_severity severity, const char *file, size_t line,
                        size_t column, const char *format, va_list arguments) {
    if (!report)
        return;
    char raw[LONGEST + 1];
    if (vsnprintf(raw, sizeof raw, format, arguments) < 0)
        raw[0] = '\0';
    entry *entries = bp_room(report->entries, report->n, sizeof *entries);
    if (!entries) {
        report->failed = true;
        return;
    }
    report->entries = entries;
    const char *name = file ? keep_file(report, file) : NULL;
    char *text = escaped(raw);
    if (!text || (file && !name)) {
        free(text);
        report->failed = true;
        return;
    }
    entries[report->n] =
        (entry){.message = {severity, name, line, column, text}, .order = report->n};
    report->n++;
}

void bp_report_add(bp_report *report, bp_severity severity, const char *file, size_t line,
                   size_t column, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    bp_report_add_list(report, severity, file, line, column, format, arguments);
    va_end(arguments);
}

size_t bp_report_count(const bp_report *report) { return report ? report->n : 0; }

size_t bp_report_count_of(const bp_report *report, bp_severity severity) {
    size_t n = 0;
    for (size_t i = 0; i < bp_report_count(report); i++)
        n += report->entries[i].message.severity == severity;
    return n;
}

const bp_message *bp_report_at(const bp_report *report, size_t index) {
    return index < bp_report_count(report) ? &report->entries[index].message : NULL;
}

bool bp_report_failed(const bp_report *report) { return report && report->failed; }

static int by_place(const void *left, const void *right) {
    const entry *a = left, *b = right;
    if (a->message.line != b->message.line)
        return a->message.line < b->message.line ? -1 : 1;
    if (a->message.column != b->message.column)
        return a->message.column < b->message.column ? -1 : 1;
    return a->order < b->order ? -1 : a->order > b->order;
}

void bp_report_sort(bp_report *report, size_t first) {
    if (!report || first >= report->n)
        return;
    qsort(report->entries + first, report->n - first, sizeof *report->entries, by_place);
}
