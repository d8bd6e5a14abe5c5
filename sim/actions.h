/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is done to the circuit before a reading: "unplug C12", "pull K2", "disconnect BAT", "jumper
 * K2.30 K2.87", "renew F4", "tug W7", "heat K2", "cool K2", "wet C12".
 */
#ifndef BP_SIM_ACTIONS_H
#define BP_SIM_ACTIONS_H

#include "sim/task.h"

/* Adds one action to the task. BP_ERR_USAGE: unknown or impossible, the reason is in why;
 * BP_ERR_MEMORY. */
bp_status bp_action_add(bp_task *task, const bp_circuit *circuit, const char *action, char *why,
                        size_t size);

/* Parts a part's terminals from the harness: with it all that shares its housing. False when it has
 * no terminals that part like that. `bolts`: bolted ones too. */
bool bp_action_open(bp_task *task, const bp_circuit *circuit, size_t part, bool bolts);

/* Was one of the task's actions harmful, by its own result? Then true, and the reason is in why. */
bool bp_action_harms(const bp_task *task, const bp_deck *deck, const bp_result *result, char *why,
                     size_t size);

#endif
