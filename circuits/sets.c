/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/sets.h"

#include <stdlib.h>

#include "circuits/memory.h"

bool bp_sets_make(bp_sets *sets, size_t n) {
    sets->parent = bp_zeroed(n, sizeof *sets->parent);
    sets->n = sets->parent ? n : 0;
    for (size_t i = 0; i < sets->n; i++)
        sets->parent[i] = i;
    return sets->parent != NULL;
}

void bp_sets_free(bp_sets *sets) {
    free(sets->parent);
    *sets = (bp_sets){0};
}

size_t bp_sets_of(bp_sets *sets, size_t item) {
    while (sets->parent[item] != item) {
        sets->parent[item] = sets->parent[sets->parent[item]];
        item = sets->parent[item];
    }
    return item;
}

void bp_sets_join(bp_sets *sets, size_t a, size_t b) {
    if (a >= sets->n || b >= sets->n)
        return;
    a = bp_sets_of(sets, a);
    b = bp_sets_of(sets, b);
    if (a < b)
        sets->parent[b] = a;
    else
        sets->parent[a] = b;
}
