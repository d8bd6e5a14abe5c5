/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A worker's bench: the circuit, the deck that is loaded, and room for what is being solved.
 */
#ifndef BP_SIM_BENCH_H
#define BP_SIM_BENCH_H

#include "sim/settle.h"
#include "sim/task.h"

typedef struct bp_bench {
    const bp_circuit *circuit;
    bp_rig rig;               /* deck, session, values, volts */
    bp_deck *deck;            /* owned */
    bp_case *c;               /* owned */
    double *together, *alone; /* by node: volts with the meter on all pairs, and on one */
    unsigned char *moved;     /* by pair: the meter's load moves something */
    int *stood;               /* by part: positions to come back to */
    bp_raw *first, *second;   /* by pair: readings with something moved one way and the other */
} bp_bench;

/* Loads the deck of the plan unless it is there. False: no memory or the solver refused (its
 * session says why). */
bool bp_bench_load(bp_bench *bench, const bp_plan *plan);
void bp_bench_clear(bp_bench *bench); /* the session is left alone */

/* Puts the meter's leads on a pair, BP_NONE: on none. */
void bp_bench_connect(bp_bench *bench, size_t pair);

/* sim/readings.c: all pairs of the plan, from the positions that settled says; the case is left
 * with those. Low and high are filled in when asked for. */
bool bp_take_readings(bp_bench *bench, const bp_settled *settled, double lasts, bool ranges,
                      bp_raw *raw);
/* The same for one pair whose leads stay on: the circuit has settled with them. */
bool bp_take_reading(bp_bench *bench, const bp_settled *settled, size_t pair, bool ranges,
                     bp_raw *raw);
/* With the contacts as they stand. For light instruments: every pair at once, else the one
 * pair. */
bool bp_read_frozen(bp_bench *bench, size_t pair, bp_raw *raw);

/* sim/ranges.c: low and high of readings whose value is known, contacts frozen as they stand; pair
 * as above. */
bool bp_find_ranges(bp_bench *bench, size_t pair, bp_raw *raw);

/* sim/strays.c: by how much each reading whose value is known moves with each toleranced quantity,
 * for one standard deviation upwards, contacts frozen as they stand. Of every pair, or of the one
 * whose leads stay on. `lasts`: how long the state lasts, see bp_settle. strays: by pair, by
 * quantity, zeros before. */
bool bp_find_strays(bp_bench *bench, const bp_raw *raw, size_t pair, double lasts, float *strays);

/* sim/chain.c: a whole task. The result is filled in whatever happens; clear it with
 * bp_result_clear. */
void bp_run_task(bp_bench *bench, const bp_task *task, bp_result *result);

#endif
