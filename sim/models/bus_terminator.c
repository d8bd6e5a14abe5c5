/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Bus terminator: one resistance.
 */
#include "circuits/kinds/bus_terminator.h"

#include "sim/winding.h"

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_TERMINATOR_PIN_H),
                      bp_build_own(b, part, BP_TERMINATOR_PIN_L));
}

static void values(const bp_view *view, double *value) {
    value[0] =
        view->param[BP_TERMINATOR_RESISTANCE] * bp_view_how_bad(view, BP_TERMINATOR_DRIFTED, 1);
    if (bp_view_has(view, BP_TERMINATOR_SHORT))
        value[0] = BP_METAL_OHM;
    if (bp_view_has(view, BP_TERMINATOR_OPEN))
        value[0] = BP_OPEN_OHM;
}

const bp_model bp_model_bus_terminator = {.elements = elements, .values = values};
