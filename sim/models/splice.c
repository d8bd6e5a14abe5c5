/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Splice: one node, and the water that leads from it to the body.
 */
#include "circuits/kinds/splice.h"
#include "sim/model.h"

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_SPLICE_PIN_1), bp_build_body(b));
}

static void values(const bp_view *view, double *value) {
    const bp_fault *leak = bp_view_fault(view, BP_SPLICE_LEAK_TO_GROUND, BP_NONE);
    value[0] = leak ? leak->severity : BP_OPEN_OHM;
}

const bp_model bp_model_splice = {.elements = elements, .values = values};
