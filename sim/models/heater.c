/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Heater: an element that gets warm.
 */
#include <stdio.h>

#include "circuits/kinds/heater.h"
#include "sim/heating.h"
#include "sim/winding.h"

enum { ELEMENT, GROUND_LEAK = ELEMENT + BP_HEATING_VALUES };

/* Shares of the rated heat at which people call a heater cold, weak or too hot; 10.5 to 15 V on a
 * good one stay inside: common practice. */
static const double cold = 0.02, weak = 0.6, hot = 1.3;

static void elements(bp_builder *b, const bp_part *part) {
    size_t plus = bp_build_own(b, part, BP_HEATER_PIN_1);
    bp_heating_elements(b, plus, bp_build_own(b, part, BP_HEATER_PIN_2));
    bp_build_resistor(b, plus, bp_build_body(b));
}

static void values(const bp_view *view, double *value) {
    const double volts = view->param[BP_HEATER_VOLTS];
    /* Lines beside each other share the current, coils one behind the other the voltage. */
    const double lines = 1 - bp_view_how_bad(view, BP_HEATER_PARTLY_BROKEN, 0);
    const double coils = 1 - bp_view_how_bad(view, BP_HEATER_PARTLY_SHORTED, 0);
    const bp_heating heating = {.amps = view->param[BP_HEATER_POWER] / volts * lines,
                                .volts = volts * coils,
                                .rise = view->param[BP_HEATER_RISE],
                                .series =
                                    bp_view_has(view, BP_HEATER_OPEN)
                                        ? BP_OPEN_OHM
                                        : bp_view_how_bad(view, BP_HEATER_RESISTANCE, BP_METAL_OHM),
                                .across = BP_OPEN_OHM};
    bp_heating_values(&value[ELEMENT], &heating);
    value[GROUND_LEAK] = bp_view_how_bad(view, BP_HEATER_GROUND_LEAK, BP_OPEN_OHM);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double share = bp_heating_watts(view, ELEMENT) / view->param[BP_HEATER_POWER];
    out->value = share;
    out->unit = BP_UNIT_FRACTION;
    if (share < cold) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "stays cold");
        return;
    }
    out->says = share < weak ? "weak" : share > hot ? "hot" : "normal";
    snprintf(out->words, sizeof out->words, "gives %.0f %% of its heat", 100 * share);
}

static const char *const says[] = {"normal", "weak", "off", "hot", NULL};

const bp_model bp_model_heater = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_FELT,
};
