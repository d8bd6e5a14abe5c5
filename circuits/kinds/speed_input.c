/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Input of a module that counts teeth.
 */
#include "circuits/kinds/speed_input.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_SPEED_PIN_IN] = {.name = "in", .sort = BP_PIN_PLUG, .words = "signal of the sensor"},
    [BP_SPEED_PIN_RETURN] = {.name = "return",
                             .sort = BP_PIN_PLUG,
                             .words = "signal return, or ground of a Hall sensor"},
    [BP_SPEED_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground of the module"},
    [BP_SPEED_PIN_15] = {.name = "15",
                         .sort = BP_PIN_PLUG,
                         .optional = true,
                         .words = "switched feed of the module"},
    {.name = NULL}};

static const char *const sensors[] = {"reluctance", "hall", NULL};

static const bp_param_decl params[] = {
    [BP_SPEED_SENSOR] = {.key = "sensor",
                         .type = BP_PARAM_WORD,
                         .def = BP_SPEED_OF_RELUCTANCE,
                         .choices = sensors,
                         .words = "what is connected: counted at the falling passage of zero, or "
                                  "by level with a pull-up",
                         .source = "common practice"},
    [BP_SPEED_OHM] = {.key = "resistance",
                      .unit = BP_UNIT_OHM,
                      .def = 1e4,
                      .lo = 100,
                      .hi = 1e9,
                      .tol = 0.05,
                      .tol_sort = BP_TOL_RELATIVE,
                      .words = "resistance of the input between in and return",
                      .source = "5 to 50 kohm for a reluctance sensor: data-sheet typical, from "
                                "memory"},
    [BP_SPEED_PULL_OHM] = {.key = "pull-resistance",
                           .unit = BP_UNIT_OHM,
                           .def = 1e5,
                           .lo = 100,
                           .hi = 1e7,
                           .tol = 0.05,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "resistance that pulls the input up",
                           .source = "1 to 5 kohm for a Hall sensor; 100 kohm shows the module an "
                                     "open reluctance sensor: data-sheet typical, from memory"},
    [BP_SPEED_VOLTS] = {.key = "volts",
                        .unit = BP_UNIT_VOLT,
                        .def = 5,
                        .lo = 2,
                        .hi = 24,
                        .tol = 0.02,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "what it pulls up to; 24 V: the module's own feed",
                        .source = "5 V: common practice"},
    [BP_SPEED_NEEDS] = {.key = "needs",
                        .unit = BP_UNIT_VOLT,
                        .def = 0.4,
                        .lo = 0.01,
                        .hi = 10,
                        .tol = 0.2,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "peak of a reluctance sensor below which it does not count",
                        .source = "engines start at 480 mV AC and not at 200 mV: common practice; "
                                  "0.4 V peak is 0.28 V AC"},
    [BP_SPEED_LOW_BELOW] = {.key = "low-below",
                            .unit = BP_UNIT_VOLT,
                            .def = 1.5,
                            .lo = 0.1,
                            .hi = 12,
                            .words = "at or below this a Hall signal is low",
                            .source = "0.3 of 5 V, the input level of CMOS logic (JESD8, from "
                                      "memory)"},
    [BP_SPEED_HIGH_ABOVE] = {.key = "high-above",
                             .unit = BP_UNIT_VOLT,
                             .def = 3.5,
                             .lo = 0.2,
                             .hi = 14,
                             .words = "at or above this a Hall signal is high",
                             .source = "0.7 of 5 V, the input level of CMOS logic (JESD8, from "
                                       "memory)"},
    [BP_SPEED_TEETH] = {.key = "teeth",
                        .type = BP_PARAM_COUNT,
                        .def = 36,
                        .lo = 1,
                        .hi = 400,
                        .words = "places on the wheel that it expects, the empty ones counted",
                        .source = "as the wheel"},
    [BP_SPEED_MISSING] = {.key = "missing",
                          .type = BP_PARAM_COUNT,
                          .def = 0,
                          .lo = 0,
                          .hi = 4,
                          .words = "teeth that it expects to be left out side by side",
                          .source = "as the wheel"},
    [BP_SPEED_TURNS] = {.key = "turns",
                        .unit = BP_UNIT_NONE,
                        .def = 1,
                        .lo = 0.05,
                        .hi = 20,
                        .words = "turns of the wheel a turn of the crankshaft",
                        .source = "as the wheel"},
    [BP_SPEED_DRAW] = {.key = "draw",
                       .unit = BP_UNIT_AMPERE,
                       .def = 0.1,
                       .lo = 1e-3,
                       .hi = 5,
                       .tol = 0.3,
                       .tol_sort = BP_TOL_RELATIVE,
                       .words = "current that the module takes at 12 V on its feed",
                       .source = "common practice"},
    [BP_SPEED_WORKS_FROM] = {.key = "works-from",
                             .unit = BP_UNIT_VOLT,
                             .def = 6,
                             .lo = 2,
                             .hi = 12,
                             .tol = 0.5,
                             .tol_sort = BP_TOL_ABSOLUTE,
                             .words = "least voltage between feed and ground for it to count",
                             .source = "6 V, so that cranking does not reset it: data-sheet "
                                       "typical, from memory"},
    {.key = NULL}};

static const bp_mode_decl modes[] = {
    [BP_SPEED_INPUT_OPEN] = {.id = "input-open",
                             .words = "%s open inside the module",
                             .weight = 0.5,
                             .intermittent = true},
    [BP_SPEED_RETURN_OPEN] = {.id = "return-open",
                              .words = "return of %s open inside the module",
                              .weight = 0.4,
                              .intermittent = true},
    [BP_SPEED_PULL_OPEN] = {.id = "pull-open",
                            .words = "pull-up of %s open inside the module",
                            .weight = 0.3},
    [BP_SPEED_LOADED] = {.id = "loaded",
                         .words = "%s loads its sensor: filter leaky inside the module",
                         .scale = BP_SCALE_LOG,
                         .unit = BP_UNIT_OHM,
                         .lo = 1,
                         .hi = 5e3,
                         .typical = 300,
                         .weight = 0.3},
    [BP_SPEED_DEAF] = {.id = "deaf",
                       .words = "module does not count at %s whatever stands there",
                       .weight = 0.4,
                       .unseen = "what the module counts over a run shows it"},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_SIGNAL, BP_SPEED_PIN_IN, BP_SPEED_PIN_31, "the input of"},
    {BP_BRANCH_DROPS, BP_SPEED_PIN_RETURN, BP_SPEED_PIN_31, NULL},
    {BP_BRANCH_LOAD, BP_SPEED_PIN_15, BP_SPEED_PIN_31, "the module of"},
    {.sort = BP_BRANCH_NONE}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_SPEED_LOW_BELOW] >= part->param[BP_SPEED_HIGH_ABOVE])
        bp_part_mistake(part, report,
                        "low-below must lie under high-above, like low-below: 1.5 V, high-above: "
                        "3.5 V");
    if (part->param[BP_SPEED_MISSING] >= part->param[BP_SPEED_TEETH])
        bp_part_mistake(part, report,
                        "more teeth are missing than the wheel has: expected like teeth: 36, "
                        "missing: 1");
}

const bp_kind bp_kind_speed_input = {
    .id = "speed-input",
    .words = "speed input",
    .note = "Where a crank, cam or wheel sensor ends in a module that counts its teeth and looks "
            "for the missing ones. Over a run it tells what speed it makes of them, or that it "
            "sees none, or that they do not fit the wheel. Without a wire on 15 the module is fed "
            "from the battery.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 30,
    .price = 250,
    .check = check,
};
