/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sets that grow together (union-find): which faces are one piece of metal.
 */
#ifndef BP_CIRCUITS_SETS_H
#define BP_CIRCUITS_SETS_H

#include <stdbool.h>
#include <stddef.h>

typedef struct bp_sets {
    size_t *parent;
    size_t n;
} bp_sets;

/* n sets of one item each; false when memory is out. */
bool bp_sets_make(bp_sets *sets, size_t n);
void bp_sets_free(bp_sets *sets);

/* The item that stands for the set of `item`: the lowest one of it. */
size_t bp_sets_of(bp_sets *sets, size_t item);

/* Makes one set of two; items out of range (BP_NONE) are left alone. */
void bp_sets_join(bp_sets *sets, size_t a, size_t b);

#endif
