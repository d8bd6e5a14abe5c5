/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/heating.h"

#include <math.h>

enum { SERIES, PER_OHM, BENDS = PER_OHM + 1, ACROSS, N_VALUES };
_Static_assert((int)N_VALUES == (int)BP_HEATING_VALUES, "as told in the header");

/* What the law takes off the cold resistance, which is a resistor of its own beside it: an element
 * with both ends open then leaves nothing for the solver to round off. */
static const bp_law warmed = {
    .id = "warmed", .n_controls = 1, .n_params = 2, .spice = "$0*#0*(2/(1+sqrt(1+$1*#0*#0))-1)"};

void bp_heating_elements(bp_builder *b, size_t plus, size_t minus) {
    const size_t inner = bp_build_node(b);
    const size_t control[1][2] = {{inner, minus}};
    bp_build_resistor(b, plus, inner);
    bp_build_law(b, &warmed, inner, minus, control);
    bp_build_resistor(b, inner, minus);
}

void bp_heating_values(double *value, const bp_heating *heating) {
    const double cold = heating->volts / heating->amps / heating->rise;
    value[SERIES] = heating->series;
    value[PER_OHM] = 1 / cold;
    /* 4 k V^2 / R0 = 4 rise (rise - 1) makes the resistance rise * R0 at the rated voltage V. */
    value[BENDS] = 4 * heating->rise * (heating->rise - 1) / (heating->volts * heating->volts);
    value[ACROSS] = 1 / (1 / cold + 1 / heating->across);
}

double bp_heating_watts(const bp_view *view, size_t first_slot) {
    const double volts =
        bp_view_current(view, first_slot + ACROSS) * bp_view_value(view, first_slot + ACROSS);
    const double per_ohm = bp_view_value(view, first_slot + PER_OHM);
    const double bends = bp_view_value(view, first_slot + BENDS);
    return 2 * per_ohm * volts * volts / (1 + sqrt(1 + bends * volts * volts));
}
