/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Memory that is handed out piece by piece and freed as a whole: an answer with all its texts.
 */
#ifndef BP_SIM_STORE_H
#define BP_SIM_STORE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct bp_store {
    struct bp_chunk *chunk;
    bool failed; /* memory ran out at least once */
} bp_store;

/* Zeroed memory for n items, never NULL unless the store failed. */
void *bp_store_get(bp_store *store, size_t n, size_t item);
/* A copy of n items; NULL for none. */
void *bp_store_keep(bp_store *store, const void *items, size_t n, size_t item);
char *bp_store_copy(bp_store *store, const char *text); /* NULL for NULL */
char *bp_store_print(bp_store *store, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void bp_store_clear(bp_store *store);

#endif
