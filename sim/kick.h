/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kick of a winding that is let go: how high the voltage went, and when.
 */
#ifndef BP_SIM_KICK_H
#define BP_SIM_KICK_H

#include "sim/wave.h"

/* A kick's piece of a part's memory. */
enum { BP_KICK_VOLTS, BP_KICK_AT, BP_KICK_TOLD, BP_KICK_MEMORY };

/* Lets go: the next kick is a new one. */
void bp_kick_begin(double *kick);
/* At every instant, with the volts across what let go. Tells `which` of the highest once the
 * voltage has fallen well below it, if it was `least` or more, V. */
void bp_kick_watch(bp_moment *m, double *kick, double volts, double least, size_t which);

#endif
