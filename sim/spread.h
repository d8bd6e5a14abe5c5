/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The toleranced quantities of a circuit: every parameter that has a tolerance, and the pin
 * contacts of every part that has some. Their order is fixed: by part, its parameters, its
 * contacts.
 */
#ifndef BP_SIM_SPREAD_H
#define BP_SIM_SPREAD_H

#include "circuits/circuit.h"

typedef struct bp_spread {
    size_t part;
    size_t param; /* index in its kind's table; BP_NONE: the contacts of its pins */
} bp_spread;

/* *list is owned by the caller (free); false: no memory. */
bool bp_spreads_list(const bp_circuit *circuit, bp_spread **list, size_t *n);

#endif
