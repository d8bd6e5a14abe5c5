/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A run of the solver that goes on for ever, on a stack of its own. It stands still in the callback
 * that brings a solution and goes on when the next one is wanted; between two solutions values may
 * be altered. The solver's own way of doing that, its command `step`, begins a run anew each time:
 * a quarter of what a solution takes.
 */
#ifndef BP_SIM_ENDLESS_H
#define BP_SIM_ENDLESS_H

#include <stdbool.h>

typedef struct bp_endless bp_endless;

/* NULL: no memory. The run itself begins with the first bp_endless_next. */
bp_endless *bp_endless_new(void);
void bp_endless_free(bp_endless **endless);

/* Goes on to the next solution of the circuit that is loaded. False: the run ended instead (the
 * solver found no solution); the next call begins a new one. */
bool bp_endless_next(bp_endless *endless);
/* To be called in the callback that brings a solution: returns when the next one is wanted. Nothing
 * happens when no run of this kind is going on. */
void bp_endless_arrive(bp_endless *endless);
/* Ends the run, so that the circuit may be taken away. */
void bp_endless_end(bp_endless *endless);

#endif
