/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Relays, fuses and the like are decided outside the solver: solve, let the one part move that
 * moves first, solve again, until nothing wants to move. A configuration that comes back is
 * chatter.
 */
#ifndef BP_SIM_SETTLE_H
#define BP_SIM_SETTLE_H

#include <stdint.h>

#include "sim/case.h"
#include "sim/instrument.h"

/* A lasting part (a fuse) that needs longer than this leaves time for readings before it opens, s:
 * common practice. */
#define BP_SLOW_SECONDS 10.0

typedef enum bp_rest {
    BP_REST_FOUND,
    BP_REST_CHATTER,  /* `loop` holds the configurations that follow each other for ever */
    BP_REST_UNSOLVED, /* the solver found no solution; its session says why */
    BP_REST_NO_MEMORY
} bp_rest;

enum { BP_MOST_CONFIGURATIONS = 64 };

typedef struct bp_settled {
    bp_rest rest;
    size_t n_loop;
    int *loop;           /* n_loop rows of positions by part; owned */
    size_t slow;         /* part that will open later, BP_NONE: none */
    int slow_position;   /* to what it moves */
    double slow_seconds; /* when */
    size_t moves;        /* how many parts moved one after the other */
    uint64_t way; /* a digest of the configurations gone through, the first and the last too */
} bp_settled;

/* Settles the case from the positions it has: rig->values are brought up to date and rig->volts
 * hold the solution of the last configuration. `lasts`: how long the state lasts in s, NAN = for
 * ever; what is slower does not happen. */
bp_settled bp_settle(bp_case *c, bp_rig *rig, double lasts);
void bp_settled_clear(bp_settled *settled);

/* Does any part want to move (slow ones left out) with these volts? */
bool bp_restless(const bp_case *c, const double *values, const double *volts, double lasts);

/* Puts the positions of one configuration into the case and its values into the rig. */
void bp_take_positions(bp_case *c, bp_rig *rig, const int *position);

#endif
