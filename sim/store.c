/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/store.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One answer to a table's question fits. */
enum { CHUNK = 32 * 1024 - 64 };

typedef struct bp_chunk {
    struct bp_chunk *next;
    size_t used, room;
    max_align_t data[];
} bp_chunk;

static bp_chunk *add_chunk(bp_store *store, size_t room) {
    bp_chunk *c = malloc(sizeof *c + room);
    if (!c) {
        store->failed = true;
        return NULL;
    }
    *c = (bp_chunk){.next = store->chunk, .room = room};
    store->chunk = c;
    return c;
}

/* Not cleared: a page that nobody writes to costs nothing. */
static void *take(bp_store *store, size_t bytes) {
    const size_t align = alignof(max_align_t);
    const size_t size = (bytes + align - 1) / align * align;
    bp_chunk *c = store->chunk;
    if (!c || c->room - c->used < size)
        c = add_chunk(store, size > CHUNK ? size : CHUNK);
    if (!c)
        return NULL;
    void *got = (char *)c->data + c->used;
    c->used += size;
    return got;
}

void *bp_store_get(bp_store *store, size_t n, size_t item) {
    void *got = take(store, n * item);
    return got ? memset(got, 0, n * item) : NULL;
}

void *bp_store_keep(bp_store *store, const void *items, size_t n, size_t item) {
    void *copy = n && items ? take(store, n * item) : NULL;
    if (copy)
        memcpy(copy, items, n * item);
    return copy;
}

char *bp_store_copy(bp_store *store, const char *text) {
    return text ? bp_store_keep(store, text, strlen(text) + 1, 1) : NULL;
}

char *bp_store_print(bp_store *store, const char *format, ...) {
    char text[600];
    va_list list;
    va_start(list, format);
    vsnprintf(text, sizeof text, format, list);
    va_end(list);
    return bp_store_copy(store, text);
}

void bp_store_clear(bp_store *store) {
    while (store->chunk) {
        bp_chunk *next = store->chunk->next;
        free(store->chunk);
        store->chunk = next;
    }
}
