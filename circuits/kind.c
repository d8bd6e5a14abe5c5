/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/kind.h"

#include <string.h>

const bp_kind *const bp_kinds[BP_N_KINDS] = {
#define X(name) [BP_KIND_INDEX_##name] = &bp_kind_##name,
    BP_KIND_LIST(X)
#undef X
};

const bp_kind *bp_kind_find(const char *id) {
    for (size_t i = 0; i < BP_N_KINDS; i++)
        if (strcmp(bp_kinds[i]->id, id) == 0)
            return bp_kinds[i];
    return NULL;
}

size_t bp_kind_index(const bp_kind *kind) {
    for (size_t i = 0; i < BP_N_KINDS; i++)
        if (bp_kinds[i] == kind)
            return i;
    return BP_N_KINDS;
}

int bp_kind_param(const bp_kind *kind, const char *key) {
    for (int i = 0; kind->params && kind->params[i].key; i++)
        if (strcmp(kind->params[i].key, key) == 0)
            return i;
    return -1;
}

int bp_kind_mode(const bp_kind *kind, const char *id) {
    for (int i = 0; kind->modes && kind->modes[i].id; i++)
        if (strcmp(kind->modes[i].id, id) == 0)
            return i;
    return -1;
}
