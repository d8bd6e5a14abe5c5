/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition switch: one contact from terminal 30 to each of 75, 15, 15x and 50.
 */
#include "circuits/kinds/ignition_switch.h"
#include "sim/model.h"

enum { TO_75, TO_15, TO_15X, TO_50, N_CONTACTS };

/* DIN 72552: 75 accessories, 15 ignition, 50 starter; 15x leaves heavy loads off in crank. */
static const bool table[][N_CONTACTS] = {
    [BP_IGNITION_SWITCH_OFF] = {false},
    [BP_IGNITION_SWITCH_ACCESSORY] = {[TO_75] = true},
    [BP_IGNITION_SWITCH_RUN] = {[TO_75] = true, [TO_15] = true, [TO_15X] = true},
    [BP_IGNITION_SWITCH_CRANK] = {[TO_15] = true, [TO_50] = true},
};

static void elements(bp_builder *b, const bp_part *part) {
    static const size_t pins[N_CONTACTS] = {[TO_75] = BP_IGNITION_SWITCH_PIN_75,
                                            [TO_15] = BP_IGNITION_SWITCH_PIN_15,
                                            [TO_15X] = BP_IGNITION_SWITCH_PIN_15X,
                                            [TO_50] = BP_IGNITION_SWITCH_PIN_50};
    size_t feed = bp_build_own(b, part, BP_IGNITION_SWITCH_PIN_30);
    for (size_t i = 0; i < N_CONTACTS; i++)
        bp_build_resistor(b, feed, bp_build_own(b, part, pins[i]));
}

static bool has(const bp_view *view, int mode) { return bp_view_fault(view, mode, BP_NONE); }

static bool closed_15(const bp_view *view) {
    if (has(view, BP_IGNITION_SWITCH_OPEN_15))
        return false;
    if (has(view, BP_IGNITION_SWITCH_STUCK_ON_15))
        return true;
    if (view->setting == BP_IGNITION_SWITCH_CRANK && has(view, BP_IGNITION_SWITCH_DEAD_IN_CRANK_15))
        return false;
    if (view->setting == BP_IGNITION_SWITCH_RUN && has(view, BP_IGNITION_SWITCH_DEAD_IN_RUN_15))
        return false;
    return table[view->setting][TO_15];
}

static bool closed_50(const bp_view *view) {
    if (has(view, BP_IGNITION_SWITCH_OPEN_50))
        return false;
    return table[view->setting][TO_50] || has(view, BP_IGNITION_SWITCH_STUCK_ON_50);
}

static double contact(const bp_view *view, bool closed, int burnt_mode) {
    if (!closed)
        return BP_OPEN_OHM;
    const bp_fault *burnt = burnt_mode < 0 ? NULL : bp_view_fault(view, burnt_mode, BP_NONE);
    return view->param[BP_IGNITION_SWITCH_RESISTANCE] + (burnt ? burnt->severity : 0);
}

static void values(const bp_view *view, double *value) {
    const bool *now = table[view->setting];
    value[TO_75] = contact(view, now[TO_75] && !has(view, BP_IGNITION_SWITCH_OPEN_75), -1);
    value[TO_15] = contact(view, closed_15(view), BP_IGNITION_SWITCH_RESISTANCE_15);
    value[TO_15X] = contact(view, now[TO_15X] && !has(view, BP_IGNITION_SWITCH_OPEN_15X), -1);
    value[TO_50] = contact(view, closed_50(view), BP_IGNITION_SWITCH_RESISTANCE_50);
}

const bp_model bp_model_ignition_switch = {
    .elements = elements,
    .values = values,
    .kelvin_per_watt = 8,
};
