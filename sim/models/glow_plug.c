/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Glow plug: an element that glows.
 */
#include <stdio.h>

#include "circuits/kinds/glow_plug.h"
#include "sim/heating.h"
#include "sim/winding.h"

enum { ELEMENT };

/* Shares of the rated heat below which it does not glow, glows too little to light the fuel, and
 * above which it does not last: 9.5 to 14 V on a good one stay inside; common practice. */
static const double dark = 0.2, weak = 0.7, hot = 2;

static void elements(bp_builder *b, const bp_part *part) {
    bp_heating_elements(b, bp_build_own(b, part, BP_GLOW_PIN_1),
                        bp_build_own(b, part, BP_GLOW_PIN_31));
}

static double rated_watts(const bp_view *view) {
    return view->param[BP_GLOW_CURRENT] * view->param[BP_GLOW_VOLTS];
}

static void values(const bp_view *view, double *value) {
    /* Plugs for other voltages have the same power. */
    const double volts = bp_view_how_bad(view, BP_GLOW_WRONG_VOLTAGE, view->param[BP_GLOW_VOLTS]);
    const bp_heating heating = {.amps = rated_watts(view) / volts,
                                .volts = volts,
                                .rise = view->param[BP_GLOW_RISE],
                                .series =
                                    bp_view_has(view, BP_GLOW_OPEN)
                                        ? BP_OPEN_OHM
                                        : bp_view_how_bad(view, BP_GLOW_RESISTANCE, BP_METAL_OHM),
                                .across = bp_view_how_bad(view, BP_GLOW_SHORT, BP_OPEN_OHM)};
    bp_heating_values(&value[ELEMENT], &heating);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double share = bp_heating_watts(view, ELEMENT) / rated_watts(view);
    out->value = share;
    out->unit = BP_UNIT_FRACTION;
    if (share < dark) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "does not glow");
        return;
    }
    out->says = share < weak ? "weak" : share > hot ? "hot" : "normal";
    snprintf(out->words, sizeof out->words, "glows with %.0f %% of its heat", 100 * share);
}

static const char *const says[] = {"normal", "weak", "off", "hot", NULL};

const bp_model bp_model_glow_plug = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
};
