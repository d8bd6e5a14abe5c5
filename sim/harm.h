/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Would an action do harm? Each one that could is solved before it is answered: as it is; with
 * fuses that hold, to know how much would flow; and with every output that a module switches by
 * itself switched on. The same without the action tells what was there before.
 */
#ifndef BP_SIM_HARM_H
#define BP_SIM_HARM_H

#include "sim/answer.h"

/* Adds the tasks that tell, behind those that read. The first one is the question as it stands.
 * False: no memory. */
bool bp_harm_add_tasks(bp_asked *asked, const bp_circuit *circuit);

/* Was one of the actions harmful? Then true, and the reason with its figures is in why. */
bool bp_harm_found(const bp_asked *asked, const bp_outcome *outcome, char *why, size_t size);

#endif
