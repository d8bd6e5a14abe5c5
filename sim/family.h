/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Faults that differ only in how bad they are. As one resistance of a circuit grows, every voltage
 * moves one way only (it is a quotient of two linear functions of the resistance, without a pole).
 * So where the least and the worst fault of a family leave a state alike, all between them do, and
 * the state need not be solved again for those: an open ground changes nothing where no current
 * flows. And where both come to rest through the same configurations of relays, every threshold on
 * the way was passed, or not, by both: those between come to rest there too, which one solution
 * confirms.
 */
#ifndef BP_SIM_FAMILY_H
#define BP_SIM_FAMILY_H

#include "sim/task.h"

/* The tasks after the first one that are the same but for how bad their single fault is; 0 when the
 * first is no such task. */
size_t bp_family_members(const bp_circuit *circuit, const bp_task *const *task, size_t n);

/* Tells a task between the least and the worst member what these say of it: a state that they leave
 * alike is known; one in which they come to rest alike and on the same way is foreseen. True: every
 * state is known. */
bool bp_family_agree(const bp_deck *deck, const bp_result *least, const bp_result *worst,
                     bp_task *between);

/* Adds the known states, as `like` has them, to a result without them (which may be empty: all are
 * known). False: no memory. */
bool bp_family_fill(bp_result *result, const bp_result *like, const bp_deck *deck,
                    const unsigned char *known);

#endif
