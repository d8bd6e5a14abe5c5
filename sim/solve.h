/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One case with everything that lies behind its readings, for those who check it by other means:
 * the deck, the final element values and the node voltages that a worker found.
 */
#ifndef BP_SIM_SOLVE_H
#define BP_SIM_SOLVE_H

#include "sim/deck.h"

#include <backprobe/predict.h>

/* Beside the deck's elements the solver sees this resistance from every node to node 0, ohm. */
#define BP_SHUNT_OHM 1e12

typedef struct bp_solved {
    const bp_deck *deck; /* the lab's: valid until its next question */
    double *values;      /* bp_deck_n_values of them */
    double *volts;       /* bp_deck_n_nodes of them, volts[0] = 0 */
    int *position;       /* by part */
    bool chatter;        /* no rest: the values are those of one configuration among several */
    bool refused;        /* the solver found no solution: volts are not filled in */
} bp_solved;

typedef enum bp_way {
    BP_WAY_EDITS, /* as the program does it: the deck is loaded once, and values are edited */
    BP_WAY_FRESH  /* the deck loaded anew with the final values */
} bp_way;

/* The question must name one state. `pair`: where the meter's leads are, BP_NONE = the meter is
 * off. In a state that a slow fuse splits, this is the last part. Points that need a plug open are
 * read with the plug on. */
bp_status bp_lab_solve(bp_lab *lab, const bp_question *question, size_t pair, bp_way way,
                       bp_solved *out, bp_report *report);
void bp_solved_clear(bp_solved *solved);

#endif
