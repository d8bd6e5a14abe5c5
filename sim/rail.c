/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/rail.h"

/* The current of the output, $0 ampere for each volt on the node of the share. */
static const bp_law given = {.id = "rail", .n_controls = 1, .n_params = 1, .spice = "$0*#0"};

/* What pushes the node of the share: itself, so that its resistor of 1 ohm cancels out, and what
 * the output lacks. Controls: 0 the share, 1 output over ground, 2 feed over ground. Parameters:
 * $0 V wanted, $1 V of drop-out, $2 V that the output sinks at its limit. The lesser of $0 and feed
 * less drop-out is rounded off over 1 mV; it may fall below 0, since a floor there would be a
 * second bend, over which Newton's method can jump to and fro. Beyond a share of 1 a line of 1000 V
 * a share takes over, below 0 one of 20 MV, so that nothing to speak of flows back (with 1 GV the
 * solver stopped beside the bend where an output was pulled up). */
#define WANTED "0.5*($0+#2-$1-sqrt(($0-#2+$1)*($0-#2+$1)+1e-6))"
#define BEYOND "500*((#0-1)+sqrt((#0-1)*(#0-1)+1e-10))"
#define BELOW "1e7*(sqrt(#0*#0+1e-18)-#0)"
static const bp_law share = {.id = "rail-share",
                             .n_controls = 3,
                             .n_params = 3,
                             .spice = "#0+" WANTED "-#1-$2*#0-" BEYOND "+" BELOW};

static const double unit_ohm = 1;

enum { GIVEN, VOLTS, DROPOUT, SINKS, UNIT, N_VALUES };
_Static_assert((int)N_VALUES == (int)BP_RAIL_VALUES, "as told in the header");

void bp_rail_elements(bp_builder *b, size_t feed, size_t ground, size_t out) {
    const size_t node = bp_build_node(b);
    const size_t control[3][2] = {{node, 0}, {out, ground}, {feed, ground}};
    bp_build_law(b, &given, feed, out, control);
    bp_build_law(b, &share, 0, node, control);
    bp_build_resistor(b, node, 0);
}

void bp_rail_values(double *value, const bp_rail *rail) {
    value[GIVEN] = rail->limit;
    value[VOLTS] = rail->volts;
    value[DROPOUT] = rail->dropout;
    value[SINKS] = rail->ohm * rail->limit;
    value[UNIT] = unit_ohm;
}

double bp_rail_share(const bp_view *view, size_t first_slot) {
    return bp_view_current(view, first_slot + UNIT) * unit_ohm;
}
