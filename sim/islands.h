/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Parts of a circuit that only megohms tie to the rest: what lies behind an open contact, held by a
 * meter's 10 Mohm or by nothing but leakage. A solver in double precision adds their siemens of
 * copper to the meter's tenth of a microsiemens and loses its last digits: a millivolt in 12 V was
 * seen. The currents that leave an island must cancel, and these it computes exactly enough, so the
 * rounding can be taken out of its result.
 */
#ifndef BP_SIM_ISLANDS_H
#define BP_SIM_ISLANDS_H

#include "sim/build.h"

/* Room for one deck; all zero is empty. */
typedef struct bp_islands {
    size_t *first; /* by node: a node of the same island, and so on down to one that names itself */
    double *current; /* by island: what leaves it, A */
    double *siemens; /* by island: what ties it to others */
} bp_islands;

bool bp_islands_init(bp_islands *islands, const bp_deck *deck); /* false: no memory */
void bp_islands_clear(bp_islands *islands);

/* Does nothing but leakage join this node to node 0? all_sites: the meter is on all sites at once.
 */
bool bp_islands_are_apart(bp_islands *islands, const bp_deck *deck, const double *values,
                          bool all_sites, size_t node);

/* Lifts or lowers every island as a whole until its currents cancel; that of the node `tied` stays
 * where it is, as that of node 0. */
void bp_islands_level(bp_islands *islands, const bp_deck *deck, const double *values,
                      bool all_sites, size_t tied, double *volts);

#endif
