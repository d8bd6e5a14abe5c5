/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A disk under SQLite that fails, or whose user is killed, at a chosen moment. It lies between
 * SQLite and the real one; every write, synchronisation, truncation and deletion is a moment.
 */
#ifndef BP_TESTS_DIAGNOSE_BAD_DISK_H
#define BP_TESTS_DIAGNOSE_BAD_DISK_H

#include <stdbool.h>
#include <stddef.h>

typedef enum bad_disk_sort {
    BAD_DISK_KILL, /* SIGKILL; a write gets half of its bytes onto the disk before */
    BAD_DISK_FULL, /* "disk is full", once and from then on */
    BAD_DISK_FAULT /* an input/output error, once and from then on */
} bad_disk_sort;

/* Puts the disk under every database that is opened from now on. Nothing is amiss yet. */
void bad_disk_install(void);

/* From the `moment`th moment on (1 is the next) it goes wrong; 0: never. */
void bad_disk_set(bad_disk_sort sort, size_t moment);

/* True when it went wrong since it was last set. */
bool bad_disk_struck(void);

#endif
