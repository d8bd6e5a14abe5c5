/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Input of a control module: where a switch or a sensor ends, and what the module makes of it.
 */
#include "circuits/kinds/module_input.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_INPUT_PIN_IN] = {.name = "in", .sort = BP_PIN_PLUG, .words = "from the switch or sensor"},
    [BP_INPUT_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground of the module"},
    [BP_INPUT_PIN_15] = {.name = "15",
                         .sort = BP_PIN_PLUG,
                         .optional = true,
                         .words = "switched feed of the module"},
    {.name = NULL}};

static const char *const pulls[] = {"up", "down", "none", NULL};
static const char *const reads[] = {"level", "voltage", NULL};

static const bp_param_decl params[] = {
    [BP_INPUT_PULL] = {.key = "pull",
                       .type = BP_PARAM_WORD,
                       .def = BP_INPUT_PULL_UP,
                       .choices = pulls,
                       .words = "where the input goes when nothing is connected",
                       .source = "common practice: a switch to ground wants up, a switch to the "
                                 "feed down"},
    [BP_INPUT_PULL_OHM] = {.key = "pull-resistance",
                           .unit = BP_UNIT_OHM,
                           .def = 2200,
                           .lo = 50,
                           .hi = 1e6,
                           .tol = 0.05,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "resistance that pulls",
                           .source = "1 to 10 kohm: common practice; series E24 of IEC 60063, 5 %"},
    [BP_INPUT_VOLTS] = {.key = "volts",
                        .unit = BP_UNIT_VOLT,
                        .def = 5,
                        .lo = 2,
                        .hi = 24,
                        .tol = 0.02,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "what it pulls up to; 24 V: the module's own feed",
                        .source = "5 V: common practice; +-2 %: data-sheet typical, from memory"},
    [BP_INPUT_OHM] = {.key = "resistance",
                      .unit = BP_UNIT_OHM,
                      .def = 1e6,
                      .lo = 1e3,
                      .hi = 1e9,
                      .words = "resistance of the input itself to 31",
                      .source = "around 1 Mohm with its filter: data-sheet typical, from memory"},
    [BP_INPUT_READS] = {.key = "reads",
                        .type = BP_PARAM_WORD,
                        .def = BP_INPUT_READS_LEVEL,
                        .choices = reads,
                        .words = "whether it tells high from low, or measures",
                        .source = "common practice: level for switches, voltage for sensors"},
    [BP_INPUT_LOW_BELOW] = {.key = "low-below",
                            .unit = BP_UNIT_VOLT,
                            .def = 1.5,
                            .lo = 0.1,
                            .hi = 12,
                            .words = "at or below this it reads low",
                            .source = "0.3 of 5 V, the input level of CMOS logic (JESD8, from "
                                      "memory)"},
    [BP_INPUT_HIGH_ABOVE] = {.key = "high-above",
                             .unit = BP_UNIT_VOLT,
                             .def = 3.5,
                             .lo = 0.2,
                             .hi = 14,
                             .words = "at or above this it reads high",
                             .source = "0.7 of 5 V, the input level of CMOS logic (JESD8, from "
                                       "memory)"},
    [BP_INPUT_LEAST] = {.key = "least",
                        .unit = BP_UNIT_VOLT,
                        .def = 0.25,
                        .lo = 0,
                        .hi = 12,
                        .words = "below this a measured signal counts as too low",
                        .source = "5 % of 5 V: common practice"},
    [BP_INPUT_MOST] = {.key = "most",
                       .unit = BP_UNIT_VOLT,
                       .def = 4.75,
                       .lo = 0.1,
                       .hi = 24,
                       .words = "above this a measured signal counts as too high",
                       .source = "95 % of 5 V: common practice"},
    [BP_INPUT_DRAW] = {.key = "draw",
                       .unit = BP_UNIT_AMPERE,
                       .def = 0.05,
                       .lo = 1e-3,
                       .hi = 5,
                       .tol = 0.3,
                       .tol_sort = BP_TOL_RELATIVE,
                       .words =
                           "current that the module takes at 12 V on its feed, without that of "
                           "its other stages",
                       .source = "common practice: small module awake"},
    [BP_INPUT_WORKS_FROM] = {.key = "works-from",
                             .unit = BP_UNIT_VOLT,
                             .def = 6,
                             .lo = 2,
                             .hi = 12,
                             .tol = 0.5,
                             .tol_sort = BP_TOL_ABSOLUTE,
                             .words = "least voltage between feed and ground for the module to "
                                      "read anything",
                             .source = "6 V, so that cranking does not reset it: data-sheet "
                                       "typical, from memory"},
    {.key = NULL}};

static bool pulled(const bp_part *part) { return part->param[BP_INPUT_PULL] < BP_INPUT_PULL_NONE; }

static bool reads_level(const bp_part *part) {
    return part->param[BP_INPUT_READS] < BP_INPUT_READS_VOLTAGE;
}

static bool reads_voltage(const bp_part *part) { return !reads_level(part); }

/* Why no instrument tells it. */
static const char inside[] =
    "what stands at its pin stays right: the module's own data tell, or what it does next";

/* What modes of one place cannot set in two ways at once. */
enum { LEVEL = 1 };

static const bp_mode_decl modes[] = {
    [BP_INPUT_PULL_OPEN] = {.id = "pull-open",
                            .words = "pull resistor of %s open: nothing holds the input",
                            .weight = 0.4,
                            .intermittent = true,
                            .applies = pulled},
    [BP_INPUT_OPEN] = {.id = "input-open",
                       .words = "%s open inside the module",
                       .weight = 0.7,
                       .intermittent = true},
    [BP_INPUT_GROUND_LEAK] = {.id = "ground-leak",
                              .words = "%s leaks to ground inside the module",
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.5,
                              .hi = 1e4,
                              .typical = 50,
                              .weight = 0.3,
                              .intermittent = true},
    [BP_INPUT_FEED_LEAK] = {.id = "feed-leak",
                            .words = "%s leaks to the feed inside the module",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 0.5,
                            .hi = 1e4,
                            .typical = 200,
                            .weight = 0.2,
                            .intermittent = true},
    [BP_INPUT_STUCK_LOW] = {.id = "stuck-low",
                            .sets = LEVEL,
                            .words = "module reads low at %s whatever stands there",
                            .weight = 0.3,
                            .applies = reads_level,
                            .unseen = inside},
    [BP_INPUT_STUCK_HIGH] = {.id = "stuck-high",
                             .sets = LEVEL,
                             .words = "module reads high at %s whatever stands there",
                             .weight = 0.3,
                             .applies = reads_level,
                             .unseen = inside},
    [BP_INPUT_MISREADS] = {.id = "misreads",
                           .words = "module reads a wrong voltage at %s",
                           .scale = BP_SCALE_LOG,
                           .unit = BP_UNIT_FRACTION,
                           .lo = 0.1,
                           .hi = 3,
                           .typical = 0.7,
                           .weight = 0.2,
                           .applies = reads_voltage,
                           .unseen = inside},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_INPUT_LOW_BELOW] >= part->param[BP_INPUT_HIGH_ABOVE])
        bp_part_mistake(part, report,
                        "low-below must lie under high-above, like low-below: 1.5 V, high-above: "
                        "3.5 V");
    if (part->param[BP_INPUT_LEAST] >= part->param[BP_INPUT_MOST])
        bp_part_mistake(part, report,
                        "least must lie under most, like least: 0.25 V, most: 4.75 V");
}

static const bp_branch ways[] = {
    {BP_BRANCH_SIGNAL, BP_INPUT_PIN_IN, BP_INPUT_PIN_31, "the input of"},
    {BP_BRANCH_LOAD, BP_INPUT_PIN_15, BP_INPUT_PIN_31, "the module of"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_module_input = {
    .id = "module-input",
    .words = "module input",
    .note = "Where a switch or sensor ends in a control module. The module pulls the wire up or "
            "down itself, so an open wire has a voltage of its own; what it then reads is told as "
            "a scan tool would show it. Without a wire on 15 the module is fed from the battery.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 30,
    .price = 250,
    .check = check,
};
