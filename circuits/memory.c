/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/memory.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

void *bp_zeroed(size_t n, size_t item) { return calloc(n ? n : 1, item); }

char *bp_copy_part(const char *text, size_t length) {
    char *copy = malloc(length + 1);
    if (copy) {
        memcpy(copy, text, length);
        copy[length] = '\0';
    }
    return copy;
}

char *bp_copy(const char *text) { return text ? bp_copy_part(text, strlen(text)) : NULL; }

void *bp_room(void *array, size_t n, size_t item) {
    /* Full exactly when n is 0 or a power of two: no capacity needs to be kept. */
    if (n & (n - 1))
        return array;
    size_t wanted = n ? 2 * n : 1;
    if (wanted > SIZE_MAX / item)
        return NULL;
    return realloc(array, wanted * item);
}
