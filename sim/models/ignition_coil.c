/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition coil at rest and in dwell; the spark itself is no steady state.
 */
#include <stdio.h>

#include "circuits/kinds/ignition_coil.h"
#include "sim/winding.h"

enum { PRIMARY, SECONDARY, GROUND_LEAK };

static void elements(bp_builder *b, const bp_part *part) {
    size_t one = bp_build_own(b, part, BP_IGNITION_PIN_1);
    bp_build_resistor(b, bp_build_own(b, part, BP_IGNITION_PIN_15), one);
    bp_build_resistor(b, bp_build_own(b, part, BP_IGNITION_PIN_4), one);
    bp_build_resistor(b, one, bp_build_body(b));
}

static double winding_ohm(const bp_view *view, int param, int shorted_turns) {
    return bp_view_copper(view, BP_IGNITION_PLACE,
                          view->param[param] * (1 - bp_view_how_bad(view, shorted_turns, 0)));
}

static void values(const bp_view *view, double *value) {
    bool open = bp_view_has(view, BP_IGNITION_PRIMARY_OPEN);
    bool secondary_open = bp_view_has(view, BP_IGNITION_SECONDARY_OPEN);
    value[PRIMARY] =
        open ? BP_OPEN_OHM
             : winding_ohm(view, BP_IGNITION_PRIMARY, BP_IGNITION_PRIMARY_SHORTED_TURNS) +
                   bp_view_how_bad(view, BP_IGNITION_PRIMARY_RESISTANCE, 0);
    value[SECONDARY] = secondary_open ? BP_OPEN_OHM
                                      : winding_ohm(view, BP_IGNITION_SECONDARY,
                                                    BP_IGNITION_SECONDARY_SHORTED_TURNS);
    value[GROUND_LEAK] = bp_view_how_bad(view, BP_IGNITION_PRIMARY_GROUND_LEAK, BP_OPEN_OHM);
}

/* The current that a good coil carries at its rated voltage is bounded by the driver and the wiring
 * too, so the coil counts as weak only well below. */
static void behave(const bp_view *view, bp_behaviour *out) {
    double rated = view->param[BP_IGNITION_VOLTS] / view->param[BP_IGNITION_PRIMARY];
    bp_winding_behave(fabs(bp_view_current(view, PRIMARY)), rated, out);
}

const bp_model bp_model_ignition_coil = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = bp_winding_says,
    .kelvin_per_watt = 2,
};
