/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A filament: how its current goes with the voltage, and how bright people call it.
 */
#ifndef BP_SIM_FILAMENT_H
#define BP_SIM_FILAMENT_H

#include "sim/model.h"

enum { BP_FILAMENT_VALUES = 3 };

void bp_filament_elements(bp_builder *b, size_t plus, size_t minus);
/* amps at its rated volts; amps 0: broken. across: what lies beside a broken or shorted one, ohm;
 * of no account for a whole one. */
void bp_filament_values(double *value, double amps, double volts, double across);

/* Light at a voltage as a share of that at the rated one. */
double bp_filament_light(double volts, double rated_volts);
/* "normal", "weak", "off", "bright" by the light, and a sentence: "glows dim: 12 % of its light".
 */
void bp_filament_behave(double light, bp_behaviour *out);
extern const char *const bp_filament_says[];

#endif
