/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Capacitor. To steady current it is its insulation.
 */
#include "circuits/kinds/capacitor.h"
#include "sim/wave.h"
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

/* One that is open has what its leads are to each other. */
static const double leads = 1e-13;

static void elements_in_time(bp_builder *b, const bp_part *part) {
    elements(b, part);
    bp_build_capacitor(b, bp_build_own(b, part, BP_CAPACITOR_PIN_1),
                       bp_build_own(b, part, BP_CAPACITOR_PIN_2));
}

static void values_in_time(const bp_view *view, double *value) {
    values(view, value);
    value[1] = bp_view_has(view, BP_CAPACITOR_OPEN) ? leads : view->param[BP_CAPACITOR_CAPACITANCE];
}

static const bp_wave_model wave = {.elements = elements_in_time, .values = values_in_time};

const bp_model bp_model_capacitor = {.elements = elements, .values = values, .wave = &wave};
