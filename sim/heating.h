/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A heating element whose resistance rises in proportion to its own heat, warmed up for good:
 * R = R0 (1 + k P). Solved for the current this is i = 2 (v/R0) / (1 + sqrt(1 + 4 (k/R0) v^2)),
 * which is smooth and R0 alone for a meter's few millivolts.
 */
#ifndef BP_SIM_HEATING_H
#define BP_SIM_HEATING_H

#include "sim/model.h"

typedef struct bp_heating {
    double amps, volts; /* at the rated voltage, warmed up */
    double rise;        /* its resistance there over the cold one */
    double series;      /* ohm in series with it, > 0; BP_OPEN_OHM: broken */
    double across;      /* ohm across it; BP_OPEN_OHM: nothing */
} bp_heating;

enum { BP_HEATING_VALUES = 4 };

void bp_heating_elements(bp_builder *b, size_t plus, size_t minus);
void bp_heating_values(double *value, const bp_heating *heating);
/* Heat of the element alone, W, from the first slot. */
double bp_heating_watts(const bp_view *view, size_t first_slot);

#endif
