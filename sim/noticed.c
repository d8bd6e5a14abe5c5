/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/noticed.h"

#include <string.h>

/* A change of less than this is not noticed without an instrument: common practice. */
#define NOTICEABLE 0.1

const bp_notice *bp_notice_of(const bp_state_answer *state, const char *part) {
    for (size_t i = 0; state && i < state->n_notices; i++)
        if (strcmp(state->notices[i].part, part) == 0)
            return &state->notices[i];
    return NULL;
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

/* Senses by which what one state says and the other does not is noticed. */
static unsigned only_here(const bp_state_answer *here, const bp_state_answer *other) {
    unsigned senses = 0;
    for (size_t i = 0; i < here->n_notices; i++)
        if (!bp_notice_of(other, here->notices[i].part))
            senses |= here->notices[i].senses;
    for (size_t i = 0; i < here->n_warm; i++)
        if (bp_warmth_differs(bp_warmth_of(other, here->warm[i].place), &here->warm[i]))
            senses |= BP_FELT;
    return senses;
}

unsigned bp_senses_telling(const bp_state_answer *good, const bp_state_answer *fault) {
    unsigned senses = only_here(good, fault) | only_here(fault, good);
    for (size_t i = 0; i < fault->n_notices; i++) {
        const bp_notice *other = bp_notice_of(good, fault->notices[i].part);
        if (bp_notice_differs(other, &fault->notices[i]))
            senses |= other->senses | fault->notices[i].senses;
    }
    return senses;
}
