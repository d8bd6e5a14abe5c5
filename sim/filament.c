/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Current grows as voltage to the power 0.55 and light to 3.4 (Fink and Beaty, Standard Handbook
 * for Electrical Engineers, 11th edition, p. 22-8); near 0 V the power law is rounded off so that a
 * cold filament has a tenth of its hot resistance.
 */
#include "sim/filament.h"

#include <math.h>
#include <stdio.h>

enum { RATED_AMPS, PER_VOLT, ACROSS, N_VALUES };
_Static_assert((int)N_VALUES == (int)BP_FILAMENT_VALUES, "as told in the header");

/* x = v/V: i = I x (x^2 + c)^-0.225, so i ~ x^0.55 for x >> sqrt(c), and R(0)/R(V) = c^0.225 = 0.1
 * for c = 3.6e-5. What a cold filament carries, I x c^-0.225, is a resistor beside the law, which
 * takes it off again: a dark lamp with both ends open leaves nothing for the solver to round off.
 */
#define ROUNDED "3.6e-5"
static const double rounded = 3.6e-5;
static const bp_law filament = {.id = "filament",
                                .n_controls = 1,
                                .n_params = 2,
                                .spice = "$0*$1*#0*(pow(($1*#0)*($1*#0)+" ROUNDED
                                         ",-0.225)-pow(" ROUNDED ",-0.225))"};

/* Shares of the light at the rated voltage. Below `seen` a filament does not glow visibly (3 V on a
 * 12 V lamp), below `dim` (11 V) people say it is dim, above `bright` (16 V) that it is too bright:
 * common practice. */
static const double seen = 0.01, dim = 0.75, bright = 2.6;

void bp_filament_elements(bp_builder *b, size_t plus, size_t minus) {
    const size_t control[1][2] = {{plus, minus}};
    bp_build_law(b, &filament, plus, minus, control);
    bp_build_resistor(b, plus, minus);
}

void bp_filament_values(double *value, double amps, double volts, double across) {
    value[RATED_AMPS] = amps;
    value[PER_VOLT] = 1 / volts;
    value[ACROSS] = amps > 0 ? volts / amps * pow(rounded, 0.225) : across;
}

double bp_filament_light(double volts, double rated_volts) {
    return pow(fabs(volts) / rated_volts, 3.4);
}

void bp_filament_behave(double light, bp_behaviour *out) {
    out->value = light;
    out->unit = BP_UNIT_FRACTION;
    if (light < seen) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "is dark");
    } else if (light < dim) {
        out->says = "weak";
        snprintf(out->words, sizeof out->words, "glows dim: %.0f %% of its light", 100 * light);
    } else if (light <= bright) {
        out->says = "normal";
        snprintf(out->words, sizeof out->words, "is lit");
    } else {
        out->says = "bright";
        snprintf(out->words, sizeof out->words, "glows too bright: %.0f %% of its light",
                 100 * light);
    }
}

const char *const bp_filament_says[] = {"normal", "weak", "off", "bright", NULL};
