/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/sensed_contact.h"

#include <stdio.h>

#include "circuits/sensed_contact.h"
#include "sim/winding.h"

void bp_sensed_contact_elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_SENSED_CONTACT_PIN_1),
                      bp_build_own(b, part, BP_SENSED_CONTACT_PIN_2));
}

static bool is_closed(const bp_view *view) {
    if (bp_view_has(view, BP_SENSED_CONTACT_STUCK_OPEN))
        return false;
    if (bp_view_has(view, BP_SENSED_CONTACT_STUCK_CLOSED))
        return true;
    return bp_sensed_contact_closes(view->part, view->setting);
}

void bp_sensed_contact_values(const bp_view *view, double *value) {
    value[0] = is_closed(view) ? view->param[BP_SENSED_CONTACT_OHM] +
                                     bp_view_how_bad(view, BP_SENSED_CONTACT_RESISTANCE, 0)
                               : bp_view_how_bad(view, BP_SENSED_CONTACT_LEAK, BP_OPEN_OHM);
}

const char *const bp_sensed_contact_says[] = {"open", "closed", NULL};

void bp_sensed_contact_behave(const bp_view *view, bp_behaviour *out) {
    out->says = bp_sensed_contact_says[is_closed(view)];
    snprintf(out->words, sizeof out->words, "is %s", out->says);
}
