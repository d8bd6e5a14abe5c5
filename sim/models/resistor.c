/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Resistor: one element, with its temperature coefficient.
 */
#include <math.h>

#include "circuits/kinds/resistor.h"
#include "sim/model.h"

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_RESISTOR_PIN_1),
                      bp_build_own(b, part, BP_RESISTOR_PIN_2));
}

static void values(const bp_view *view, double *value) {
    const bp_fault *drifted = bp_view_fault(view, BP_RESISTOR_DRIFTED, BP_NONE);
    double warm = 1 + view->param[BP_RESISTOR_ALPHA] * (view->around->ambient - 20);
    value[0] = view->param[BP_RESISTOR_RESISTANCE] * warm * (drifted ? drifted->severity : 1);
    if (bp_view_fault(view, BP_RESISTOR_SHORT, BP_NONE))
        value[0] = BP_METAL_OHM;
    if (bp_view_fault(view, BP_RESISTOR_OPEN, BP_NONE))
        value[0] = BP_OPEN_OHM;
    value[0] = fmax(value[0], BP_IDEAL_OHM);
}

const bp_model bp_model_resistor = {.elements = elements, .values = values};
