/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is done to the circuit before a reading: "unplug C12", "jumper K2.30 K2.87", "wait 20min".
 * The table in actions.c has them all.
 */
#ifndef BP_SIM_ACTIONS_H
#define BP_SIM_ACTIONS_H

#include "sim/task.h"

/* Adds one action to the task. BP_ERR_USAGE: unknown or impossible, the reason is in why;
 * BP_ERR_MEMORY. */
bp_status bp_action_add(bp_task *task, const bp_circuit *circuit, const char *action, char *why,
                        size_t size);

/* "unplug PART", "jumper PLACE PLACE" ...: how an action is written; NULL beyond the last one. */
const char *bp_action_usage(size_t index);

/* Parts a part's terminals from the harness: with it all that shares its housing. False when it has
 * no terminals that part like that. `bolts`: bolted ones too. */
bool bp_action_open(bp_task *task, const bp_circuit *circuit, size_t part, bool bolts);

#endif
