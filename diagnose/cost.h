/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a test costs in minutes, in the order of a workshop: getting at both places, the action
 * before it, setting up the instrument, bringing the vehicle into the state. What has been opened
 * stays open, what was unplugged has to go back, and going back to an earlier state costs the way
 * there again.
 */
#ifndef BP_DIAGNOSE_COST_H
#define BP_DIAGNOSE_COST_H

#include "diagnose/atlas.h"

/* Where the work stands: what the last tests left behind. */
typedef struct bp_bench_top bp_bench_top;

/* Nothing done yet: key off, nothing opened. NULL: no memory. */
bp_bench_top *bp_bench_top_new(const bp_atlas *atlas);
void bp_bench_top_free(bp_bench_top **top);
/* As it was when nothing was done. */
void bp_bench_top_reset(bp_bench_top *top);

/* Takes over where another stands; of the same atlas. */
void bp_bench_top_take(bp_bench_top *top, const bp_bench_top *from);

/* Minutes for this test now. */
double bp_test_minutes(const bp_bench_top *top, const bp_test *test);
/* The test was made. */
void bp_bench_top_made(bp_bench_top *top, const bp_test *test);

/* Minutes to put a fault right, part in hand, and to see that the complaint is gone. */
double bp_fix_minutes(const bp_circuit *circuit, const bp_fault *fault);
/* What that costs in parts. */
double bp_fix_money(const bp_circuit *circuit, const bp_fault *fault);

#endif
