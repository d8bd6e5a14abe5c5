/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A made circuit with made readings: the drawing is tested without the solver.
 */
#ifndef BP_TESTS_RENDER_MADE_H
#define BP_TESTS_RENDER_MADE_H

#include "render/sheet_facts.h"

typedef struct bp_made {
    size_t n_points; /* at most 60 */
    size_t n_states; /* at most 12 */
    bool fault;
    bool long_words; /* titles, labels and sentences as long as they may be */
    bool letter;
} bp_made;

/* Owned by the caller (bp_circuit_free); fails the test when the circuit is not good. */
bp_circuit *bp_made_circuit(const bp_made *made);
/* Made readings of all states, the first one shown, and drops between all points. Free with
 * bp_made_clear. */
void bp_made_facts(const bp_made *made, const bp_circuit *circuit, bp_facts *facts);
void bp_made_clear(bp_facts *facts);

#endif
