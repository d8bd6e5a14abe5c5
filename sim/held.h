/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a meter that keeps its extremes shows in the end: least and most of a reading while the
 * states of a chain are gone through, each as it settles.
 */
#ifndef BP_SIM_HELD_H
#define BP_SIM_HELD_H

#include <backprobe/predict.h>

/* Fills in minimum and maximum of every reading of an answer that holds all states of the circuit.
 */
void bp_hold(const bp_circuit *circuit, bp_answer *answer);

#endif
