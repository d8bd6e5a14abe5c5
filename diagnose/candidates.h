/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tests that may be made now.
 */
#ifndef BP_DIAGNOSE_CANDIDATES_H
#define BP_DIAGNOSE_CANDIDATES_H

#include <backprobe/next.h>

#include "diagnose/posterior.h"

/* Tests of the atlas that can be made with these tools (bits of bp_tool), their cells there in the
 * given rows: each point to the reference in every state, stretches between points, what parts do;
 * and when the rows are few, amps in the place of fuses, ohms across what can be unplugged, a test
 * lamp on every point, what unplugging lays open. A test that was made is left out, unless its
 * reading is likely a slip. *tests is the caller's (free). BP_ERR_MEMORY, BP_ERR_SOLVER. */
bp_status bp_candidates(bp_atlas *atlas, const bp_posterior *posterior, unsigned tools,
                        const size_t *rows, size_t n_rows, size_t **tests, size_t *n,
                        bp_report *report);

/* Those that the atlas holds from the start alone, with all tools, whatever was made. */
bp_status bp_candidates_plain(bp_atlas *atlas, size_t **tests, size_t *n);

#endif
