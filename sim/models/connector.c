/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Connector: a contact for each pair of pins, and what can join neighbours.
 *
 * Slots: n contacts, then for each i below n - 1 the bridge a_i - a_i+1 and the crossed ways
 * a_i - b_i+1 and a_i+1 - b_i.
 */
#include "circuits/kinds/connector.h"
#include "sim/model.h"

enum { BRIDGE, CROSS_UP, CROSS_DOWN, PER_PAIR };

static void elements(bp_builder *b, const bp_part *part) {
    size_t n = part->n_pins / 2;
    for (size_t i = 0; i < n; i++)
        bp_build_resistor(b, bp_build_own(b, part, i), bp_build_own(b, part, n + i));
    for (size_t i = 0; i + 1 < n; i++) {
        size_t a = bp_build_own(b, part, i), a_next = bp_build_own(b, part, i + 1);
        size_t half_b = bp_build_own(b, part, n + i), b_next = bp_build_own(b, part, n + i + 1);
        bp_build_resistor(b, a, a_next);
        bp_build_resistor(b, a, b_next);
        bp_build_resistor(b, a_next, half_b);
    }
}

/* The fault of this mode between neighbours i and i + 1, whichever of them it names first. */
static const bp_fault *between(const bp_view *view, int mode, size_t i) {
    for (size_t k = 0; k < view->n_faults; k++) {
        const bp_fault *fault = &view->faults[k];
        if (fault->mode == mode && ((fault->sub == i && fault->partner_sub == i + 1) ||
                                    (fault->sub == i + 1 && fault->partner_sub == i)))
            return fault;
    }
    return NULL;
}

static bool is_crossed(const bp_view *view, size_t i) {
    return between(view, BP_CONNECTOR_CROSSED_WITH, i) ||
           (i > 0 && between(view, BP_CONNECTOR_CROSSED_WITH, i - 1));
}

/* The way over terminal i of half a, whichever terminal of the other half it meets. */
static double terminal(const bp_view *view, size_t i) {
    if (view->apart || bp_view_fault(view, BP_CONNECTOR_OPEN, i))
        return BP_OPEN_OHM;
    const bp_fault *resistance = bp_view_fault(view, BP_CONNECTOR_RESISTANCE, i);
    const bp_fault *spread = bp_view_fault(view, BP_CONNECTOR_SPREAD, i);
    return view->param[BP_CONNECTOR_OHM] + (resistance ? resistance->severity : 0) +
           (spread ? spread->severity : 0);
}

static double contact(const bp_view *view, size_t i) {
    return is_crossed(view, i) ? BP_OPEN_OHM : terminal(view, i);
}

static double bridge(const bp_view *view, size_t i) {
    const bp_fault *metal = between(view, BP_CONNECTOR_BRIDGE_TO, i);
    const bp_fault *water = between(view, BP_CONNECTOR_LEAK_TO, i);
    if (view->apart || (!metal && !water))
        return BP_OPEN_OHM;
    if (metal && water)
        return 1 / (1 / metal->severity + 1 / water->severity);
    return metal ? metal->severity : water->severity;
}

static void values(const bp_view *view, double *value) {
    size_t n = view->part->n_pins / 2;
    for (size_t i = 0; i < n; i++)
        value[i] = contact(view, i);
    for (size_t i = 0; i + 1 < n; i++) {
        bool crossed = between(view, BP_CONNECTOR_CROSSED_WITH, i);
        double *pair = &value[n + PER_PAIR * i];
        pair[BRIDGE] = bridge(view, i);
        pair[CROSS_UP] = crossed ? terminal(view, i) : BP_OPEN_OHM;
        pair[CROSS_DOWN] = crossed ? terminal(view, i + 1) : BP_OPEN_OHM;
    }
}

const bp_model bp_model_connector = {.elements = elements, .values = values};
