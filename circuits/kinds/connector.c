/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Connector: two halves that meet, cavity by cavity.
 */
#include <stdio.h>

#include "circuits/circuit.h"
#include "circuits/kinds/connector.h"

static const bp_param_decl params[] = {
    [BP_CONNECTOR_CAVITIES] = {.key = "cavities",
                               .type = BP_PARAM_COUNT,
                               .unit = BP_UNIT_NONE,
                               .def = BP_UNSET,
                               .required = true,
                               .lo = 1,
                               .hi = 128,
                               .words = "how many pins each half has, numbered side by side from 1",
                               .source = "as the circuit states"},
    [BP_CONNECTOR_OHM] =
        {.key = "resistance",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_OHM,
         .def = 2e-3,
         .lo = 1e-6,
         .hi = 1,
         .tol = 0.6,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "contact resistance of each mated pin with both crimps",
         .source = "data-sheet typical of tin-plated 2.8 mm terminals, new 1 to 3 mohm, at most 5 "
                   "mohm (from memory)"},
    {0}};

/* What modes of one place cannot set in two ways at once. */
enum { TOUCH = 1, SPRING = 2, BETWEEN = 4 };

static const bp_mode_decl modes[] = {
    [BP_CONNECTOR_OPEN] = {.id = "open",
                           .sets = TOUCH | SPRING,
                           .words = "%s open: terminal backed out or broken",
                           .scope = BP_SCOPE_CAVITY,
                           .weight = 1.0,
                           .intermittent = true},
    [BP_CONNECTOR_RESISTANCE] = {.id = "resistance",
                                 .sets = TOUCH,
                                 .words = "%s corroded: high resistance",
                                 .scope = BP_SCOPE_CAVITY,
                                 .scale = BP_SCALE_LOG,
                                 .unit = BP_UNIT_OHM,
                                 .lo = 0.05,
                                 .hi = 1000.0,
                                 .typical = 1.0,
                                 .weight = 1.2,
                                 .intermittent = true},
    [BP_CONNECTOR_SPREAD] = {.id = "spread",
                             .sets = SPRING,
                             .words = "%s spread: good when cold and still, bad when hot or moved",
                             .scope = BP_SCOPE_CAVITY,
                             .scale = BP_SCALE_LOG,
                             .unit = BP_UNIT_OHM,
                             .lo = 0.2,
                             .hi = 1e6,
                             .typical = 20.0,
                             .weight = 0.8,
                             .intermittent = true},
    [BP_CONNECTOR_BRIDGE_TO] = {.id = "bridge-to",
                                .sets = BETWEEN,
                                .words = "%s bridged by metal to",
                                .scope = BP_SCOPE_CAVITY,
                                .partner = BP_PARTNER_CAVITY,
                                .scale = BP_SCALE_LOG,
                                .unit = BP_UNIT_OHM,
                                .lo = 0.001,
                                .hi = 10.0,
                                .typical = 0.05,
                                .weight = 0.15,
                                .intermittent = true},
    [BP_CONNECTOR_LEAK_TO] = {.id = "leak-to",
                              .sets = BETWEEN,
                              .words = "%s wet: leaks to",
                              .scope = BP_SCOPE_CAVITY,
                              .partner = BP_PARTNER_CAVITY,
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 10.0,
                              .hi = 1e6,
                              .typical = 2e3,
                              .weight = 0.3,
                              .intermittent = true},
    [BP_CONNECTOR_CROSSED_WITH] = {.id = "crossed-with",
                                   .words = "%s crossed with",
                                   .scope = BP_SCOPE_CAVITY,
                                   .partner = BP_PARTNER_CAVITY,
                                   .weight = 0.1,
                                   .seen_by_eye = true},
    {0}};

static void add_half(bp_part *part, char half, size_t cavities) {
    for (size_t i = 1; i <= cavities; i++) {
        char name[24];
        snprintf(name, sizeof name, "%c%zu", half, i);
        bp_part_add_pin(part, name, BP_PIN_IDEAL, true);
    }
}

/* a1 .. an are pins 0 .. n-1, b1 .. bn are pins n .. 2n-1. */
static void make_pins(bp_part *part, bp_report *report) {
    (void)report; /* a missing or impossible count has been reported as a parameter */
    double cavities = part->param[BP_CONNECTOR_CAVITIES];
    if (!(cavities >= 1 && cavities <= 128))
        return;
    add_half(part, 'a', (size_t)cavities);
    add_half(part, 'b', (size_t)cavities);
}

const bp_kind bp_kind_connector = {
    .id = "connector",
    .words = "connector",
    .note = "Two halves, a and b, that meet pin by pin. Pins numbered next to each other are "
            "neighbours: water, bent terminals and crossed wires join only these.",
    .params = params,
    .modes = modes,
    .passive = true,
    .access = 5,
    .fit = 30,
    .price = 15,
    .make_pins = make_pins,
};
