/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What people notice of a fault without an instrument: two answers for one state side by side.
 */
#ifndef BP_SIM_NOTICED_H
#define BP_SIM_NOTICED_H

#include <backprobe/predict.h>

/* What the part does there; NULL: nothing is said of it, or there is no such state. */
const bp_notice *bp_notice_of(const bp_state_answer *state, const char *part);
/* How warm the place is there; NULL: not warm. */
const bp_warmth *bp_warmth_of(const bp_state_answer *state, const char *place);

/* It does something else than the good one, which may be NULL: nobody can tell then. */
bool bp_notice_does_otherwise(const bp_notice *good, const bp_notice *notice);
/* The same, or clearly more or less of what the good one does. */
bool bp_notice_differs(const bp_notice *good, const bp_notice *notice);
/* It is warm where the other one, which may be NULL, is not, or hot where that is warm. */
bool bp_warmth_differs(const bp_warmth *good, const bp_warmth *warmth);

/* What a list says of a part; NULL: nothing. */
const bp_notice *bp_notice_find(const bp_notice *notice, size_t n, const char *part);
/* The senses that tell what is noticed with a fault from what is noticed without, bits of bp_sense.
 */
unsigned bp_senses_of_notices(const bp_notice *good, size_t n_good, const bp_notice *fault,
                              size_t n_fault);
/* The same with what is felt warm. */
unsigned bp_senses_telling(const bp_state_answer *good, const bp_state_answer *fault);

#endif
