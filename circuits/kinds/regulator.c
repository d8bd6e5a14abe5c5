/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Regulator: the supply that a module gives to its sensors.
 */
#include "circuits/kinds/regulator.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_REGULATOR_PIN_15] = {.name = "15", .sort = BP_PIN_PLUG, .words = "switched feed"},
    [BP_REGULATOR_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground"},
    [BP_REGULATOR_PIN_OUT] = {.name = "out", .sort = BP_PIN_PLUG, .words = "regulated supply"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_REGULATOR_VOLTS] = {.key = "volts",
                            .unit = BP_UNIT_VOLT,
                            .def = 5,
                            .lo = 1,
                            .hi = 12,
                            .tol = 0.02,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "regulated voltage between out and 31",
                            .source = "5 V for sensors, 8 or 9 V for Hall sensors: common "
                                      "practice; +-2 %: data-sheet typical, from memory"},
    [BP_REGULATOR_LIMIT] = {.key = "limit",
                            .unit = BP_UNIT_AMPERE,
                            .def = 0.1,
                            .lo = 1e-3,
                            .hi = 5,
                            .tol = 0.4,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "current beyond which the output gives way",
                            .source = "50 to 150 mA for a sensor supply: data-sheet typical, from "
                                      "memory"},
    [BP_REGULATOR_DROPOUT] = {.key = "dropout",
                              .unit = BP_UNIT_VOLT,
                              .def = 0.3,
                              .lo = 0.01,
                              .hi = 3,
                              .tol = 0.5,
                              .tol_sort = BP_TOL_RELATIVE,
                              .words = "least difference between feed and output",
                              .source = "0.2 to 0.5 V for low-drop regulators: data-sheet typical, "
                                        "from memory"},
    [BP_REGULATOR_OUTPUT_OHM] = {.key = "output-resistance",
                                 .unit = BP_UNIT_OHM,
                                 .def = 0.1,
                                 .lo = 0,
                                 .hi = 10,
                                 .words = "resistance of the output below its limit",
                                 .source = "10 mV at 100 mA: data-sheet typical, from memory"},
    [BP_REGULATOR_DRAW] = {.key = "draw",
                           .unit = BP_UNIT_AMPERE,
                           .def = 5e-3,
                           .lo = 1e-5,
                           .hi = 1,
                           .tol = 0.5,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "current that it takes for itself at 12 V on its feed",
                           .source = "5 mA: data-sheet typical, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { OUTPUT = 1 };

static const bp_mode_decl modes[] = {
    [BP_REGULATOR_NO_OUTPUT] = {.id = "no-output",
                                .sets = OUTPUT,
                                .words = "%s gives nothing out",
                                .weight = 1,
                                .intermittent = true},
    [BP_REGULATOR_SHORTED] = {.id = "shorted",
                              .sets = OUTPUT,
                              .words = "%s shorted inside: its feed comes through",
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.1,
                              .hi = 50,
                              .typical = 1,
                              .weight = 0.3},
    [BP_REGULATOR_OFF_VALUE] = {.id = "off-value",
                                .sets = OUTPUT,
                                .words = "%s regulates to a wrong voltage",
                                .scale = BP_SCALE_LINEAR,
                                .unit = BP_UNIT_FRACTION,
                                .lo = 0.3,
                                .hi = 1.6,
                                .typical = 0.85,
                                .weight = 0.3},
    [BP_REGULATOR_WEAK] = {.id = "weak",
                           .words = "%s gives only a part of its current",
                           .scale = BP_SCALE_LOG,
                           .unit = BP_UNIT_FRACTION,
                           .lo = 0.002,
                           .hi = 0.8,
                           .typical = 0.02,
                           .weight = 0.4,
                           .intermittent = true},
    [BP_REGULATOR_LOADED] = {.id = "loaded",
                             .words = "output of %s pulled down inside its module",
                             .scale = BP_SCALE_LOG,
                             .unit = BP_UNIT_OHM,
                             .lo = 0.1,
                             .hi = 500,
                             .typical = 10,
                             .weight = 0.3,
                             .intermittent = true},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_ONE_WAY, BP_REGULATOR_PIN_15, BP_REGULATOR_PIN_OUT, NULL},
    {BP_BRANCH_LOAD, BP_REGULATOR_PIN_15, BP_REGULATOR_PIN_31, NULL},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_regulator = {
    .id = "regulator",
    .words = "regulator",
    .note = "The supply of sensors. Its output stands over its own ground, so a bad ground lifts "
            "it, and it follows its feed once that is too low. Beyond its limit the output gives "
            "way: one shorted sensor takes the supply of all.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 30,
    .price = 250,
};
