/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Memory for the ground floor. Every function hands back NULL when memory is out and leaves what it
 * was given alone.
 */
#ifndef BP_CIRCUITS_MEMORY_H
#define BP_CIRCUITS_MEMORY_H

#include <stddef.h>

/* n zeroed items; never NULL for n = 0 unless memory is out. */
void *bp_zeroed(size_t n, size_t item);

/* A copy of a text, owned by the caller; NULL for NULL. */
char *bp_copy(const char *text);

/* The first `length` bytes of a text as a text of their own. */
char *bp_copy_part(const char *text, size_t length);

/* An array that holds n items, with room for one more; it grows by doubling, so n + 1 calls cost
 * O(n). The array may have moved. On failure NULL, and the old array is still there. */
void *bp_room(void *array, size_t n, size_t item);

#endif
