/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A whole answer to one question about the circuit on the desk, and what is looked for in it.
 */
#ifndef BP_TESTS_SIM_ASKED_H
#define BP_TESTS_SIM_ASKED_H

#include "tests/sim/desk.h"

/* Fails the test with the program's own words when there is no answer. */
bp_answer *asked(desk *d, const bp_question *question);
/* Fails the test when there is one; the reason given, valid until the desk is cleared. */
const char *refused(desk *d, const bp_question *question);
/* A question for one state, one reading of `instrument` from red to black. */
bp_question reading_of(const char *state, bp_instrument instrument, const bp_pair *pair);
/* The one reading of the state "on", copied; its texts are gone with the answer, but for the
 * display.
 */
bp_reading read_one(desk *d, bp_instrument instrument, const char *red, const char *black);
/* The answer for a state; phase NULL: the only one. */
const bp_state_answer *state_in(const bp_answer *answer, const char *state, const char *phase);

#endif
