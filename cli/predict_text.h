/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stands around the tables of readings: head, states, what people notice.
 */
#ifndef BP_CLI_PREDICT_TEXT_H
#define BP_CLI_PREDICT_TEXT_H

#include "cli/predict.h"

/* Circuit, fault, conditions. black: where the black lead is for all readings, or NULL. */
void bp_print_header(const bp_screen *out, const bp_prediction *prediction, const char *black);

/* A state's name, words and battery voltage. healthy may be NULL. */
void bp_print_state_title(const bp_screen *out, const bp_prediction *prediction,
                          const bp_state_answer *state, const bp_state_answer *healthy);

/* What people notice in a state, blown fuses, chatter, remarks, and why readings are missing.
 * healthy: the same state of the good circuit, to say what is normal where it differs; NULL for a
 * healthy answer. */
void bp_print_state_words(const bp_screen *out, const bp_prediction *prediction,
                          const bp_state_answer *state, const bp_state_answer *healthy);

/* True when the above has anything to print. */
bool bp_has_words(const bp_circuit *circuit, const bp_state_answer *state);

/* True when people notice the same in both. */
bool bp_same_words(const bp_state_answer *healthy, const bp_state_answer *faulted);

/* What a hand feels (cli/predict_felt.c): what is not as in the good circuit, a line each, nothing
 * when healthy is NULL; and the rest in one sentence. */
void bp_print_felt_changed(const bp_screen *out, const bp_state_answer *state,
                           const bp_state_answer *healthy);
void bp_print_felt_alike(const bp_screen *out, const bp_state_answer *state,
                         const bp_state_answer *healthy);
bool bp_felt_differs(const bp_state_answer *healthy, const bp_state_answer *faulted);

/* The gravest caution that this circuit itself calls for, and where the others are. */
void bp_print_caution(const bp_screen *out, const bp_circuit *circuit);

/* Where the red lead is, in words; owned by the caller. */
char *bp_reading_where(const bp_circuit *circuit, const bp_reading *reading);

#endif
