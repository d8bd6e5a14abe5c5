/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Source: a voltage behind a resistance.
 */
#include <math.h>

#include "circuits/kinds/source.h"
#include "sim/model.h"

enum { EMF, INSIDE };

static void elements(bp_builder *b, const bp_part *part) {
    size_t inner = bp_build_node(b);
    bp_build_voltage(b, inner, bp_build_own(b, part, BP_SOURCE_PIN_MINUS));
    bp_build_resistor(b, inner, bp_build_own(b, part, BP_SOURCE_PIN_PLUS));
}

static void values(const bp_view *view, double *value) {
    const bp_fault *low = bp_view_fault(view, BP_SOURCE_LOW, BP_NONE);
    const bp_fault *resistance = bp_view_fault(view, BP_SOURCE_RESISTANCE, BP_NONE);
    value[EMF] = view->param[BP_SOURCE_EMF] * (low ? low->severity : 1);
    value[INSIDE] =
        fmax(view->param[BP_SOURCE_OHM], BP_IDEAL_OHM) + (resistance ? resistance->severity : 0);
    if (bp_view_fault(view, BP_SOURCE_OPEN, BP_NONE))
        value[INSIDE] = BP_OPEN_OHM;
}

const bp_model bp_model_source = {.elements = elements, .values = values};
