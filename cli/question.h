/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From arguments to a question to the lab.
 */
#ifndef BP_CLI_QUESTION_H
#define BP_CLI_QUESTION_H

#include "circuits/circuit.h"
#include "cli/arguments.h"

/* State, faults and conditions as the arguments have them. */
bp_question bp_question_of(const bp_arguments *arguments);

/* Does the circuit have this state and these faults? BP_EXIT_CARRY_ON, or BP_EXIT_INPUT after it
 * was said which option is wrong and what is near it. */
bp_exit bp_question_check(const bp_arguments *arguments, const bp_circuit *circuit);

#endif
