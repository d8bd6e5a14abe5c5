/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A regulated voltage: what a regulator gives out, and what modules pull their inputs up to.
 *
 * It holds `volts` over its own ground as long as its feed is a drop-out higher, follows the feed
 * below that, and gives no more than its limit. All it gives out comes from its feed. It takes
 * nothing back: an output that something else pulls up stays up.
 *
 * The output is found from the current asked of it and not the other way round: the limit is then
 * a steep line instead of a flat one, on which Newton's method would jump to and fro.
 */
#ifndef BP_SIM_RAIL_H
#define BP_SIM_RAIL_H

#include "sim/model.h"

enum { BP_RAIL_VALUES = 5 };

typedef struct bp_rail {
    double volts;   /* wanted over ground */
    double dropout; /* V, least difference between feed and output */
    double ohm;     /* of the output while it regulates */
    double limit;   /* A, > 0 */
} bp_rail;

void bp_rail_elements(bp_builder *b, size_t feed, size_t ground, size_t out);
void bp_rail_values(double *value, const bp_rail *rail);

/* Current given out as a share of the limit, from the first slot: 1 at the limit. */
double bp_rail_share(const bp_view *view, size_t first_slot);

#endif
