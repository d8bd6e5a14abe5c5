/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Output files: made in memory, written beside their place, renamed into it. A failure leaves what
 * was there.
 */
#ifndef BP_RENDER_FILES_H
#define BP_RENDER_FILES_H

#include <stdbool.h>
#include <stddef.h>

#include <backprobe/report.h>

typedef struct bp_file {
    char *path;          /* where it goes; owned */
    unsigned char *data; /* owned */
    size_t size, room;
} bp_file;

/* Appends; false when memory is out (what was there stays). */
bool bp_file_append(bp_file *file, const void *data, size_t size);
void bp_file_clear(bp_file *file);

/* Writes all of them or none: every file is complete on the disk before the first one is renamed.
 */
bp_status bp_files_write(const bp_file *files, size_t n, bp_report *report);

#endif
