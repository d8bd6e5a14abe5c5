/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a voltmeter and a clamp show of what pulses: the mean, off a run over time.
 */
#ifndef BP_SIM_MEANS_H
#define BP_SIM_MEANS_H

#include <backprobe/scope.h>

#include "sim/store.h"

/* Does this question ask for means, and does something pulse in this state? */
bool bp_wants_means(const bp_question *question, const bp_circuit *circuit, const char *state);

/* Puts the mean over the part of a run that counts in the place of what a reading is between two
 * pulses. run NULL or without a result: nothing, and why. */
void bp_read_mean(bp_reading *reading, const bp_scope_run *run, size_t trace);

/* What people notice over the run replaces what the same parts do between two pulses; what works by
 * pulses and has nothing to tell of the run is not told of at all. */
void bp_notice_run(bp_store *store, const bp_circuit *circuit, bp_state_answer *state,
                   const bp_scope_run *run);

#endif
