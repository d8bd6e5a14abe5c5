/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Solid-state relay: a transistor in a relay's housing.
 */
#include "circuits/kinds/solid_state_relay.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_SOLID_STATE_PIN_30] = {.name = "30", .sort = BP_PIN_PLUG, .words = "feed of the output"},
    [BP_SOLID_STATE_PIN_87] = {.name = "87", .sort = BP_PIN_PLUG, .words = "output to the load"},
    [BP_SOLID_STATE_PIN_86] = {.name = "86", .sort = BP_PIN_PLUG, .words = "control, feed side"},
    [BP_SOLID_STATE_PIN_85] = {.name = "85", .sort = BP_PIN_PLUG, .words = "control, ground side"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_SOLID_STATE_CONTROL] = {.key = "control",
                                .unit = BP_UNIT_OHM,
                                .def = 1000,
                                .lo = 10,
                                .hi = 1e6,
                                .tol = 0.2,
                                .tol_sort = BP_TOL_RELATIVE,
                                .words = "resistance of the control input",
                                .source = "5 to 15 mA at 12 V: data-sheet typical, from memory"},
    [BP_SOLID_STATE_PULL_IN] = {.key = "pull-in",
                                .unit = BP_UNIT_VOLT,
                                .def = 4,
                                .lo = 0.5,
                                .hi = 20,
                                .tol = 0.2,
                                .tol_sort = BP_TOL_RELATIVE,
                                .words = "voltage from 86 to 85 at which it switches on",
                                .source = "3 to 5 V: data-sheet typical, from memory"},
    [BP_SOLID_STATE_DROP_OUT] = {.key = "drop-out",
                                 .unit = BP_UNIT_VOLT,
                                 .def = 1.5,
                                 .lo = 0.1,
                                 .hi = 20,
                                 .tol = 0.2,
                                 .tol_sort = BP_TOL_RELATIVE,
                                 .words = "voltage from 86 to 85 at which it switches off",
                                 .source = "1 to 2 V: data-sheet typical, from memory"},
    [BP_SOLID_STATE_ON_RESISTANCE] = {.key = "on-resistance",
                                      .unit = BP_UNIT_OHM,
                                      .def = 0.01,
                                      .lo = 1e-4,
                                      .hi = 20,
                                      .tol = 0.5,
                                      .tol_sort = BP_TOL_RELATIVE,
                                      .words = "resistance from 30 to 87 when switched on",
                                      .source = "5 to 20 mohm at 30 A: data-sheet typical, from "
                                                "memory"},
    [BP_SOLID_STATE_LEAKAGE] = {.key = "leakage",
                                .unit = BP_UNIT_OHM,
                                .def = 1e6,
                                .lo = 1e3,
                                .hi = 1e9,
                                .words = "resistance from 30 to 87 when switched off: an unplugged "
                                         "load's wire reads nearly the feed",
                                .source = "some 10 uA at 12 V: data-sheet typical, from memory"},
    [BP_SOLID_STATE_LIMIT] = {.key = "limit",
                              .unit = BP_UNIT_AMPERE,
                              .def = BP_UNSET,
                              .lo = 0.05,
                              .hi = 500,
                              .tol = 0.3,
                              .tol_sort = BP_TOL_RELATIVE,
                              .words = "current at which it shuts itself down; unset: never",
                              .source = "only some have one: common practice"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { OUTPUT = 1 };

static const bp_mode_decl modes[] = {
    [BP_SOLID_STATE_OUTPUT_OPEN] = {.id = "output-open",
                                    .sets = OUTPUT,
                                    .words = "%s never switches on",
                                    .weight = 0.7,
                                    .intermittent = true},
    [BP_SOLID_STATE_OUTPUT_SHORTED] = {.id = "output-shorted",
                                       .sets = OUTPUT,
                                       .words = "%s shorted: always on, as they mostly fail",
                                       .scale = BP_SCALE_LOG,
                                       .unit = BP_UNIT_OHM,
                                       .lo = 0.002,
                                       .hi = 20,
                                       .typical = 0.05,
                                       .weight = 1},
    [BP_SOLID_STATE_CONTROL_OPEN] = {.id = "control-open",
                                     .words = "control input of %s open",
                                     .weight = 0.5,
                                     .intermittent = true},
    [BP_SOLID_STATE_WEAK] = {.id = "weak",
                             .words = "%s weak: high resistance when on",
                             .scale = BP_SCALE_LOG,
                             .unit = BP_UNIT_OHM,
                             .lo = 0.05,
                             .hi = 100,
                             .typical = 1,
                             .weight = 0.4,
                             .intermittent = true},
    [BP_SOLID_STATE_LEAKY] = {.id = "leaky",
                              .words = "%s leaks when off",
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 20,
                              .hi = 5e4,
                              .typical = 300,
                              .weight = 0.3},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_SOLID_STATE_DROP_OUT] >= part->param[BP_SOLID_STATE_PULL_IN])
        bp_part_mistake(part, report,
                        "drop-out must lie under pull-in, like pull-in: 4 V, drop-out: 1.5 V");
}

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_SOLID_STATE_PIN_30, BP_SOLID_STATE_PIN_87, "while switched on"},
    {BP_BRANCH_LOAD, BP_SOLID_STATE_PIN_86, BP_SOLID_STATE_PIN_85, "the control input of"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_solid_state_relay = {
    .id = "solid-state-relay",
    .words = "solid-state relay",
    .note = "A transistor in a relay's housing: 86 and 85 ask for it, 30 goes to 87. Silent, no "
            "coil to measure. The control input minds its polarity, and a load that is fed from "
            "elsewhere feeds back from 87 to 30.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 3,
    .price = 45,
    .check = check,
};
