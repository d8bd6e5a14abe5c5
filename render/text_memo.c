/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/text_memo.h"

#include <string.h>

/* All that a size depends on, and the size. */
typedef struct entry {
    double size, width;
    bp_weight weight;
    bool tabular;
    const char *text; /* behind the entry when it is kept */
    bp_box box;
} entry;

static guint hash(gconstpointer data) {
    const entry *e = data;
    return g_str_hash(e->text) ^ g_double_hash(&e->size) ^ 31 * g_double_hash(&e->width) ^
           ((guint)e->weight << 1) ^ (guint)e->tabular;
}

static gboolean same(gconstpointer a, gconstpointer b) {
    const entry *x = a, *y = b;
    return g_double_equal(&x->size, &y->size) && g_double_equal(&x->width, &y->width) &&
           x->weight == y->weight && x->tabular == y->tabular && strcmp(x->text, y->text) == 0;
}

static entry entry_of(const char *text, const bp_font *font, double width) {
    return (entry){font->size, width, font->weight, font->tabular, text, {0, 0, 0, 0}};
}

GHashTable *bp_text_memo_new(void) { return g_hash_table_new_full(hash, same, g_free, NULL); }

const bp_box *bp_text_memo_find(GHashTable *memo, const char *text, const bp_font *font,
                                double width) {
    const entry asked = entry_of(text, font, width);
    const entry *found = g_hash_table_lookup(memo, &asked);
    return found ? &found->box : NULL;
}

void bp_text_memo_keep(GHashTable *memo, const char *text, const bp_font *font, double width,
                       bp_box box) {
    const size_t size = strlen(text) + 1;
    entry *kept = g_malloc(sizeof *kept + size);
    *kept = entry_of(memcpy(kept + 1, text, size), font, width);
    kept->box = box;
    g_hash_table_add(memo, kept);
}
