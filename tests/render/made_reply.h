/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A made reply about any circuit: the sheet is tested without match and next.
 */
#ifndef BP_TESTS_RENDER_MADE_REPLY_H
#define BP_TESTS_RENDER_MADE_REPLY_H

#include "render/reply_facts.h"

typedef struct bp_made_reply {
    size_t n_tests, n_known, n_suspects;
    bool long_words, letter;
    bool part; /* only every other part is drawn */
} bp_made_reply;

/* Leads go to the circuit's own points, in turn. Free with bp_made_reply_clear. */
void bp_made_reply_make(const bp_made_reply *made, const bp_circuit *circuit, bp_reply *reply);
void bp_made_reply_clear(bp_reply *reply);

#endif
