/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Capacitor in steady state: its insulation.
 */
#include "circuits/kinds/capacitor.h"
#include "sim/winding.h"

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_CAPACITOR_PIN_1),
                      bp_build_own(b, part, BP_CAPACITOR_PIN_2));
}

static void values(const bp_view *view, double *value) {
    const double whole =
        bp_view_has(view, BP_CAPACITOR_OPEN) ? BP_OPEN_OHM : view->param[BP_CAPACITOR_LEAKAGE];
    value[0] =
        bp_view_how_bad(view, BP_CAPACITOR_SHORT, bp_view_how_bad(view, BP_CAPACITOR_LEAKY, whole));
}

const bp_model bp_model_capacitor = {.elements = elements, .values = values};
