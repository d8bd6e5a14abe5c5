/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A copper winding of any sort.
 */
#include <stdio.h>

#include "circuits/kinds/coil.h"
#include "sim/winding.h"

enum { WINDING };

static void elements(bp_builder *b, const bp_part *part) {
    bp_winding_elements(b, bp_build_own(b, part, BP_COIL_PIN_1),
                        bp_build_own(b, part, BP_COIL_PIN_2));
}

static void values(const bp_view *view, double *value) {
    const bool open = bp_view_has(view, BP_COIL_OPEN);
    const double turns = 1 - bp_view_how_bad(view, BP_COIL_SHORTED_TURNS, 0);
    const double copper = bp_view_copper(view, BP_COIL_PLACE, view->param[BP_COIL_WINDING] * turns);
    bp_winding_values(&value[WINDING],
                      open ? BP_OPEN_OHM : copper + bp_view_how_bad(view, BP_COIL_RESISTANCE, 0),
                      bp_view_how_bad(view, BP_COIL_GROUND_LEAK, BP_OPEN_OHM));
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double rated = view->param[BP_COIL_VOLTS] / view->param[BP_COIL_WINDING];
    bp_winding_behave(bp_winding_amps(view, WINDING), rated, out);
}

const bp_model bp_model_coil = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = bp_winding_says,
    .kelvin_per_watt = 4,
};
