/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/noticed.h"

#include <string.h>

/* A change of less than this is not noticed without an instrument: common practice. */
#define NOTICEABLE 0.1

const bp_notice *bp_notice_find(const bp_notice *notice, size_t n, const char *part) {
    for (size_t i = 0; i < n; i++)
        if (strcmp(notice[i].part, part) == 0)
            return &notice[i];
    return NULL;
}

const bp_notice *bp_notice_of(const bp_state_answer *state, const char *part) {
    return state ? bp_notice_find(state->notices, state->n_notices, part) : NULL;
}

const bp_warmth *bp_warmth_of(const bp_state_answer *state, const char *place) {
    for (size_t i = 0; state && i < state->n_warm; i++)
        if (strcmp(state->warm[i].place, place) == 0)
            return &state->warm[i];
    return NULL;
}

bool bp_notice_does_otherwise(const bp_notice *good, const bp_notice *notice) {
    return good && strcmp(good->says, notice->says) != 0;
}

bool bp_notice_differs(const bp_notice *good, const bp_notice *notice) {
    return bp_notice_does_otherwise(good, notice) ||
           (good && strcmp(good->words, notice->words) != 0 &&
            fabs(notice->value - good->value) > NOTICEABLE * fabs(good->value));
}

bool bp_warmth_differs(const bp_warmth *good, const bp_warmth *warmth) {
    return !good || !warmth ? good != warmth : strcmp(good->says, warmth->says) != 0;
}

unsigned bp_senses_of_notices(const bp_notice *good, size_t n_good, const bp_notice *fault,
                              size_t n_fault) {
    unsigned senses = 0;
    for (size_t i = 0; i < n_good; i++)
        if (!bp_notice_find(fault, n_fault, good[i].part))
            senses |= good[i].senses;
    for (size_t i = 0; i < n_fault; i++) {
        const bp_notice *other = bp_notice_find(good, n_good, fault[i].part);
        if (!other || bp_notice_differs(other, &fault[i]))
            senses |= (other ? other->senses : 0) | fault[i].senses;
    }
    return senses;
}

/* What is warm here and not, or less so, there. */
static bool is_warm_only_here(const bp_state_answer *here, const bp_state_answer *other) {
    for (size_t i = 0; i < here->n_warm; i++)
        if (bp_warmth_differs(bp_warmth_of(other, here->warm[i].place), &here->warm[i]))
            return true;
    return false;
}

unsigned bp_senses_telling(const bp_state_answer *good, const bp_state_answer *fault) {
    unsigned senses =
        bp_senses_of_notices(good->notices, good->n_notices, fault->notices, fault->n_notices);
    if (is_warm_only_here(good, fault) || is_warm_only_here(fault, good))
        senses |= BP_FELT;
    return senses;
}
