/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * States and values in words for people.
 */
#ifndef BP_CLI_DESCRIBE_H
#define BP_CLI_DESCRIBE_H

#include "circuits/circuit.h"

/* What is set in a state: "S1 pressed, 800 rev/min"; owned by the caller. */
char *bp_describe_settings(const bp_circuit *circuit, const bp_state *state, bool us_units);

/* A value with two or three digits that tell, in the user's system: AWG, feet and degF for areas,
 * lengths and temperatures when us_units. */
void bp_describe_value(double value, bp_unit unit, bool us_units, char *text, size_t size);

#endif
