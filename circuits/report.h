/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the ground floor itself needs of a report.
 */
#ifndef BP_CIRCUITS_REPORT_H
#define BP_CIRCUITS_REPORT_H

#include <stdarg.h>
#include <stdbool.h>

#include <backprobe/report.h>

void bp_report_add_list(bp_report *report, bp_severity severity, const char *file, size_t line,
                        size_t column, const char *format, va_list arguments);

/* True once memory ran out while a message was added. */
bool bp_report_failed(const bp_report *report);

/* Puts the messages from `first` on into the order of their places in the file; those of one place
 * keep their order. */
void bp_report_sort(bp_report *report, size_t first);

#endif
