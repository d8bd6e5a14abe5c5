/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Distributor cap and rotor, as one spark sees them.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/distributor.h"

static const bp_pin_decl pins[] = {
    [BP_DISTRIBUTOR_PIN_4] = {.name = "4",
                              .sort = BP_PIN_PLUG,
                              .words = "from the coil",
                              .high_voltage = true},
    [BP_DISTRIBUTOR_PIN_OUT] = {.name = "out",
                                .sort = BP_PIN_PLUG,
                                .words = "to the plug whose turn it is",
                                .high_voltage = true},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_DISTRIBUTOR_GAP] = {.key = "gap",
                            .unit = BP_UNIT_METRE,
                            .def = 0.5e-3,
                            .lo = 1e-4,
                            .hi = 5e-3,
                            .tol = 0.3,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "between rotor and segment",
                            .source = "0.3 to 0.8 mm: common practice"},
    [BP_DISTRIBUTOR_OHM] = {.key = "rotor",
                            .unit = BP_UNIT_OHM,
                            .def = 1000,
                            .lo = 1,
                            .hi = 5e4,
                            .tol = 0.3,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "resistance of carbon brush and rotor",
                            .source = "0 to 5 kilohm: data-sheet typical, from memory"},
    [BP_DISTRIBUTOR_INSULATION] = {.key = "insulation",
                                   .unit = BP_UNIT_VOLT,
                                   .def = 45e3,
                                   .lo = 1e3,
                                   .hi = 2e5,
                                   .words = "voltage at which cap or rotor let through to ground",
                                   .source = "data-sheet typical, from memory"},
    {.key = NULL}};

static const bp_mode_decl modes[] = {
    [BP_DISTRIBUTOR_ROTOR_BURNT] = {.id = "rotor-burnt",
                                    .words = "rotor and segments of %s burnt: a wide gap to jump",
                                    .scale = BP_SCALE_LINEAR,
                                    .unit = BP_UNIT_METRE,
                                    .lo = 1e-3,
                                    .hi = 1e-2,
                                    .typical = 4e-3,
                                    .weight = 1.5,
                                    .seen_by_eye = true},
    [BP_DISTRIBUTOR_ROTOR_OPEN] = {.id = "rotor-open",
                                   .words = "resistor in the rotor of %s burnt through",
                                   .scale = BP_SCALE_LINEAR,
                                   .unit = BP_UNIT_METRE,
                                   .lo = 1e-3,
                                   .hi = 3e-2,
                                   .typical = 1e-2,
                                   .weight = 0.7},
    [BP_DISTRIBUTOR_ROTOR_PUNCTURED] = {.id = "rotor-punctured",
                                        .words = "rotor of %s punctured: the spark goes into the "
                                                 "shaft",
                                        .scale = BP_SCALE_LINEAR,
                                        .unit = BP_UNIT_VOLT,
                                        .lo = 1e3,
                                        .hi = 1.5e4,
                                        .typical = 4e3,
                                        .weight = 1},
    [BP_DISTRIBUTOR_CAP_CRACKED] = {.id = "cap-cracked",
                                    .words = "cap of %s cracked, wet or tracked: the spark runs to "
                                             "ground",
                                    .scale = BP_SCALE_LINEAR,
                                    .unit = BP_UNIT_VOLT,
                                    .lo = 1e3,
                                    .hi = 2e4,
                                    .typical = 6e3,
                                    .weight = 1.5,
                                    .seen_by_eye = true,
                                    .intermittent = true},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_DROPS, BP_DISTRIBUTOR_PIN_4, BP_DISTRIBUTOR_PIN_OUT, NULL},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_distributor = {
    .id = "distributor",
    .words = "distributor",
    .note = "Cap and rotor as one spark sees them: every cylinder's turn is like the one shown. "
            "The rotor's gap is open to a meter and breaks down at its own voltage. Terminals 4 "
            "from the coil and out to the plug.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 4,
    .fit = 10,
    .price = 30,
};
