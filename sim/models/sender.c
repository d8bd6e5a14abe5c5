/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sender: a resistance in proportion to the level.
 */
#include "circuits/kinds/sender.h"

#include "sim/winding.h"

/* Settings are steps of a quarter. */
static const double n_steps = 4;

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_SENDER_PIN_1),
                      bp_build_own(b, part, BP_SENDER_PIN_2));
}

static void values(const bp_view *view, double *value) {
    double empty = view->param[BP_SENDER_EMPTY], full = view->param[BP_SENDER_FULL];
    double level = bp_view_how_bad(view, BP_SENDER_STUCK, view->setting / n_steps);
    value[0] = empty + level * (full - empty) + bp_view_how_bad(view, BP_SENDER_RESISTANCE, 0);
    if (bp_view_has(view, BP_SENDER_SHORT))
        value[0] = BP_METAL_OHM;
    if (bp_view_has(view, BP_SENDER_OPEN))
        value[0] = BP_OPEN_OHM;
}

const bp_model bp_model_sender = {.elements = elements, .values = values};
