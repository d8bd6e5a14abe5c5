/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a meter that keeps its extremes shows in the end: least and most of a reading while the
 * states of a chain are gone through, each as it settles.
 */
#ifndef BP_SIM_HELD_H
#define BP_SIM_HELD_H

#include <backprobe/predict.h>

#include "sim/store.h"

/* Fills in minimum and maximum of every reading of an answer that holds all states of the circuit;
 * store: the answer's own. */
void bp_hold(bp_store *store, const bp_circuit *circuit, bp_answer *answer);

#endif
