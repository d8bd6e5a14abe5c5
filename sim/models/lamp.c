/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Filament lamp.
 */
#include "circuits/kinds/lamp.h"
#include "sim/filament.h"
#include "sim/winding.h"

static void elements(bp_builder *b, const bp_part *part) {
    bp_filament_elements(b, bp_build_own(b, part, BP_LAMP_PIN_1),
                         bp_build_own(b, part, BP_LAMP_PIN_2));
}

static double power(const bp_view *view) {
    return bp_view_how_bad(view, BP_LAMP_WRONG_BULB, view->param[BP_LAMP_POWER]);
}

static bool glows(const bp_view *view) {
    return !bp_view_has(view, BP_LAMP_OPEN) && !bp_view_has(view, BP_LAMP_SHORT);
}

static void values(const bp_view *view, double *value) {
    double volts = view->param[BP_LAMP_VOLTS];
    bp_filament_values(value, glows(view) ? power(view) / volts : 0, volts,
                       bp_view_how_bad(view, BP_LAMP_SHORT, BP_OPEN_OHM));
}

static void behave(const bp_view *view, bp_behaviour *out) {
    double volts = bp_view_pin_volts(view, BP_LAMP_PIN_1) - bp_view_pin_volts(view, BP_LAMP_PIN_2);
    double light = bp_filament_light(volts, view->param[BP_LAMP_VOLTS]) * power(view) /
                   view->param[BP_LAMP_POWER] * (1 - bp_view_how_bad(view, BP_LAMP_BLACKENED, 0));
    bp_filament_behave(glows(view) ? light : 0, out);
}

const bp_model bp_model_lamp = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = bp_filament_says,
    .senses = BP_SEEN,
};
