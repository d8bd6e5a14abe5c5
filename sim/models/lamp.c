/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Filament lamp. Current grows as voltage to the power 0.55 and light to 3.4 (Fink and Beaty,
 * Standard Handbook for Electrical Engineers, 11th edition, p. 22-8); near 0 V the power law is
 * rounded off so that a cold filament has a tenth of its hot resistance.
 */
#include <stdio.h>

#include "circuits/kinds/lamp.h"
#include "sim/winding.h"

enum { RATED_AMPS, PER_VOLT, ACROSS };

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

static void elements(bp_builder *b, const bp_part *part) {
    size_t plus = bp_build_own(b, part, BP_LAMP_PIN_1);
    size_t minus = bp_build_own(b, part, BP_LAMP_PIN_2);
    const size_t control[1][2] = {{plus, minus}};
    bp_build_law(b, &filament, plus, minus, control);
    bp_build_resistor(b, plus, minus);
}

static double power(const bp_view *view) {
    return bp_view_how_bad(view, BP_LAMP_WRONG_BULB, view->param[BP_LAMP_POWER]);
}

static bool glows(const bp_view *view) {
    return !bp_view_has(view, BP_LAMP_OPEN) && !bp_view_has(view, BP_LAMP_SHORT);
}

static void values(const bp_view *view, double *value) {
    double volts = view->param[BP_LAMP_VOLTS];
    double rated = power(view) / volts;
    value[RATED_AMPS] = glows(view) ? rated : 0;
    value[PER_VOLT] = 1 / volts;
    value[ACROSS] = bp_view_how_bad(view, BP_LAMP_SHORT, BP_OPEN_OHM);
    if (glows(view))
        value[ACROSS] = volts / rated * pow(rounded, 0.225);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    double volts = bp_view_pin_volts(view, BP_LAMP_PIN_1) - bp_view_pin_volts(view, BP_LAMP_PIN_2);
    double light = pow(fabs(volts) / view->param[BP_LAMP_VOLTS], 3.4) * power(view) /
                   view->param[BP_LAMP_POWER] * (1 - bp_view_how_bad(view, BP_LAMP_BLACKENED, 0));
    if (!glows(view))
        light = 0;
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

static const char *const says[] = {"normal", "weak", "off", "bright", NULL};

const bp_model bp_model_lamp = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
};
