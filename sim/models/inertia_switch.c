/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inertia switch: one contact, closed while its button is in.
 */
#include <stdio.h>

#include "circuits/kinds/inertia_switch.h"
#include "sim/model.h"

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_INERTIA_SWITCH_PIN_1),
                      bp_build_own(b, part, BP_INERTIA_SWITCH_PIN_2));
}

static bool is_tripped(const bp_view *view) {
    if (bp_view_fault(view, BP_INERTIA_SWITCH_STUCK_CLOSED, BP_NONE))
        return false;
    return view->setting == BP_INERTIA_SWITCH_KNOCKED ||
           bp_view_fault(view, BP_INERTIA_SWITCH_TRIPPED, BP_NONE);
}

static void values(const bp_view *view, double *value) {
    const bp_fault *corroded = bp_view_fault(view, BP_INERTIA_SWITCH_RESISTANCE, BP_NONE);
    bool open = is_tripped(view) || bp_view_fault(view, BP_INERTIA_SWITCH_OPEN, BP_NONE);
    value[0] = open ? BP_OPEN_OHM
                    : view->param[BP_INERTIA_SWITCH_OHM] + (corroded ? corroded->severity : 0);
}

static const char *const says[] = {"set", "tripped", NULL};

static void behave(const bp_view *view, bp_behaviour *out) {
    bool tripped = is_tripped(view);
    out->says = says[tripped];
    snprintf(out->words, sizeof out->words, "%s",
             tripped ? "is tripped: its button stands out" : "is set: its button is in");
}

const bp_model bp_model_inertia_switch = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_SEEN,
    .kelvin_per_watt = 15,
};
