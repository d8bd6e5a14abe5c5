/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a meter that keeps its extremes shows in the end: least and most of a reading while the
 * states of a chain are gone through, each as it settles; and, where a state has a waveform, while
 * it runs (sim/held_time.c).
 */
#ifndef BP_SIM_HELD_H
#define BP_SIM_HELD_H

#include <backprobe/scope.h>

#include "sim/store.h"

/* Fills in minimum and maximum of every reading of an answer that holds all states of the circuit;
 * store: the answer's own. But for states that pulse, where the question asks for means: what
 * stands between two pulses is on no display. */
void bp_hold(bp_store *store, const bp_circuit *circuit, const bp_question *question,
             bp_answer *answer);

/* Is what it shows followed through runs too? Others hold what settled states show. */
bool bp_is_held_in_runs(bp_instrument instrument);
/* Does the question ask for extremes that a meter may also hold within a run? */
bool bp_holds_runs(const bp_question *question);
/* Takes what a meter holds within a run, whose traces are those of the state's loaded readings. */
void bp_hold_run(bp_store *store, bp_state_answer *state, const bp_scope_run *run, bool peak);
/* Runs each state of the chains for which the circuit's file names a waveform, and takes what the
 * meter then holds into the extremes of the answer. */
void bp_hold_runs(bp_lab *lab, const bp_question *question, bp_answer *answer, bp_report *report);

#endif
