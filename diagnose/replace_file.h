/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A file is written beside its place and renamed into it: nobody ever sees half of one.
 */
#ifndef BP_DIAGNOSE_REPLACE_FILE_H
#define BP_DIAGNOSE_REPLACE_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

/* False, with errno set: what was there still is. A limit on the size of files is a full disk and
 * no reason to end. `lasting`: not before all of it is on the disk. */
bool bp_replace_file(const char *path, const void *data, size_t size, mode_t mode, bool lasting);

#endif
