/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ground: the contact between the eyelet and the metal it is bolted to.
 */
#include "circuits/kinds/ground.h"
#include "sim/model.h"

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_harness(b, part, 0), bp_build_own(b, part, 0));
}

static void values(const bp_view *view, double *value) {
    const bp_fault *resistance = bp_view_fault(view, BP_GROUND_RESISTANCE, BP_NONE);
    bool open = view->apart || bp_view_fault(view, BP_GROUND_OPEN, BP_NONE);
    value[0] =
        open ? BP_OPEN_OHM : view->param[BP_GROUND_OHM] + (resistance ? resistance->severity : 0);
}

const bp_model bp_model_ground = {
    .elements = elements,
    .values = values,
    .kelvin_per_watt = 5,
};
