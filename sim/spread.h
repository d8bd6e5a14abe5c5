/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The toleranced quantities of a circuit: every parameter that has a tolerance, the pin contacts of
 * every part that has some, and what a state says of the supply (how high an alternator charges,
 * how much a starter takes). Their order is fixed: by part, its parameters, its contacts; the
 * supply last.
 */
#ifndef BP_SIM_SPREAD_H
#define BP_SIM_SPREAD_H

#include <stdint.h>

#include "circuits/circuit.h"

typedef struct bp_spread {
    size_t part;  /* BP_NONE: the supply */
    size_t param; /* index in its kind's table; BP_NONE: the contacts of its pins */
} bp_spread;

/* 95 % of a normal distribution lie within so many standard deviations. */
#define BP_SIGMAS_95 1.959964

/* *list is owned by the caller (free); false: no memory. */
bool bp_spreads_list(const bp_circuit *circuit, bp_spread **list, size_t *n);

/* How many there are. */
size_t bp_spreads_count(const bp_circuit *circuit);

/* The n quantities of vehicle number `draw` among many, in standard deviations; the same for the
 * same number. False: no memory. */
bool bp_spreads_draw(uint64_t draw, size_t n, double *sigmas);

#endif
