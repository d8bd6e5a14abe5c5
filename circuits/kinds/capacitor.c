/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Capacitor: suppressor or buffer.
 */
#include "circuits/kind.h"
#include "circuits/kinds/capacitor.h"

static const bp_pin_decl pins[] = {
    [BP_CAPACITOR_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_CAPACITOR_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground side"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_CAPACITOR_CAPACITANCE] = {.key = "capacitance",
                                  .unit = BP_UNIT_FARAD,
                                  .def = BP_UNSET,
                                  .required = true,
                                  .lo = 1e-12,
                                  .hi = 1,
                                  .tol = 0.2,
                                  .tol_sort = BP_TOL_RELATIVE,
                                  .words = "capacitance; steady readings do not depend on it",
                                  .source = "20 %: data-sheet typical"},
    [BP_CAPACITOR_VOLTS] = {.key = "volts",
                            .unit = BP_UNIT_VOLT,
                            .def = 63,
                            .lo = 3,
                            .hi = 1000,
                            .words = "rated voltage",
                            .source = "a rung of the usual series, well above load dump: from "
                                      "memory"},
    [BP_CAPACITOR_LEAKAGE] = {.key = "leakage",
                              .unit = BP_UNIT_OHM,
                              .def = 2e9,
                              .lo = 1e4,
                              .hi = 1e12,
                              .words = "resistance of its insulation",
                              .source = "1000 s over its capacitance, 0.5 uF: data-sheet typical "
                                        "of film suppressors, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { LEAD = 1, FOIL = 2 };

static const bp_mode_decl modes[] = {
    [BP_CAPACITOR_OPEN] = {.id = "open",
                           .sets = LEAD,
                           .words = "%s open: noise comes through, steady readings stay as they "
                                    "were",
                           .weight = 1,
                           .intermittent = true,
                           .unseen = "no steady current flows through it: its lack shows over "
                                     "time, on an oscilloscope"},
    [BP_CAPACITOR_SHORT] = {.id = "short",
                            .sets = LEAD | FOIL,
                            .words = "%s shorted",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 0.01,
                            .hi = 10,
                            .typical = 0.1,
                            .weight = 1},
    [BP_CAPACITOR_LEAKY] = {.id = "leaky",
                            .sets = FOIL,
                            .words = "%s leaks: damp or broken down",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 10,
                            .hi = 1e6,
                            .typical = 1000,
                            .weight = 1,
                            .intermittent = true},
    {.id = NULL}};

/* No way for a current that lasts. */
static const bp_branch ways[] = {{.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_capacitor = {
    .id = "capacitor",
    .words = "capacitor",
    .note = "Capacitor across a feed or a contact. To steady current it is open; what it does to "
            "noise and sparks only shows over time. Terminals 1 feed and 2 ground.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 10,
    .price = 8,
};
