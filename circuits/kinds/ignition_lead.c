/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * High-voltage ignition lead with its ends.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/ignition_lead.h"

static const bp_pin_decl pins[] = {[BP_HT_LEAD_PIN_1] = {.name = "1",
                                                         .sort = BP_PIN_PLUG,
                                                         .words = "coil end",
                                                         .high_voltage = true},
                                   [BP_HT_LEAD_PIN_2] = {.name = "2",
                                                         .sort = BP_PIN_PLUG,
                                                         .words = "plug end",
                                                         .high_voltage = true},
                                   {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_HT_LEAD_OHM] = {.key = "resistance",
                        .unit = BP_UNIT_OHM,
                        .def = 4000,
                        .lo = 0.1,
                        .hi = 1e5,
                        .tol = 0.25,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "end to end",
                        .source = "5 to 16 kilohm a metre of suppressed lead, or a resistor in "
                                  "its end: data-sheet typical, from memory"},
    [BP_HT_LEAD_CAPACITANCE] = {.key = "capacitance",
                                .unit = BP_UNIT_FARAD,
                                .def = 15e-12,
                                .lo = 1e-13,
                                .hi = 1e-9,
                                .words = "to the metal around it",
                                .source = "20 to 40 pF a metre laid along an engine: from memory"},
    [BP_HT_LEAD_INSULATION] = {.key = "insulation",
                               .unit = BP_UNIT_VOLT,
                               .def = 50e3,
                               .lo = 1e3,
                               .hi = 2e5,
                               .words = "voltage at which it lets through to ground",
                               .source = "data-sheet typical, from memory"},
    {.key = NULL}};

static const bp_mode_decl modes[] = {
    [BP_HT_LEAD_BURNT] = {.id = "burnt",
                          .words = "%s burnt through inside: the spark has to jump it too",
                          .scale = BP_SCALE_LINEAR,
                          .unit = BP_UNIT_METRE,
                          .lo = 5e-4,
                          .hi = 3e-2,
                          .typical = 6e-3,
                          .weight = 2,
                          .intermittent = true},
    [BP_HT_LEAD_RESISTANCE] = {.id = "resistance",
                               .words = "high resistance in %s",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 1e4,
                               .hi = 1e7,
                               .typical = 2e5,
                               .weight = 1},
    [BP_HT_LEAD_FLASHES_OVER] = {.id = "flashes-over",
                                 .words = "insulation of %s cracked: the spark jumps to metal "
                                          "beside it",
                                 .scale = BP_SCALE_LINEAR,
                                 .unit = BP_UNIT_VOLT,
                                 .lo = 2e3,
                                 .hi = 2e4,
                                 .typical = 6e3,
                                 .weight = 1.5,
                                 .seen_by_eye = true,
                                 .intermittent = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_DROPS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_ignition_lead = {
    .id = "ignition-lead",
    .words = "ignition lead",
    .note = "High-voltage lead: resistance, capacitance to ground, insulation that breaks down at "
            "its own voltage. Terminals 1 coil end and 2 plug end.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 3,
    .fit = 5,
    .price = 15,
};
