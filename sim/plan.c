/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "sim/build.h"

static bool same(const size_t (*a)[2], size_t na, const size_t (*b)[2], size_t nb) {
    return na == nb && (na == 0 || memcmp(a, b, na * sizeof *a) == 0);
}

bool bp_plan_equal(const bp_plan *a, const bp_plan *b) {
    return a->instrument == b->instrument &&
           same((const size_t(*)[2])a->pair, a->n_pairs, (const size_t(*)[2])b->pair, b->n_pairs) &&
           same((const size_t(*)[2])a->jumper, a->n_jumpers, (const size_t(*)[2])b->jumper,
                b->n_jumpers);
}

bool bp_plan_copy(bp_plan *to, const bp_plan *from) {
    *to = *from;
    to->pair = calloc(from->n_pairs + 1, sizeof *to->pair);
    to->jumper = calloc(from->n_jumpers + 1, sizeof *to->jumper);
    if (!to->pair || !to->jumper) {
        bp_plan_clear(to);
        return false;
    }
    if (from->n_pairs)
        memcpy(to->pair, from->pair, from->n_pairs * sizeof *to->pair);
    if (from->n_jumpers)
        memcpy(to->jumper, from->jumper, from->n_jumpers * sizeof *to->jumper);
    return true;
}

void bp_plan_clear(bp_plan *plan) {
    free(plan->pair);
    free(plan->jumper);
    *plan = (bp_plan){0};
}
