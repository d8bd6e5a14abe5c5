/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition switch: feed 30 to 75, 15, 15x and 50 (DIN 72552).
 */
#include "circuits/circuit.h"
#include "circuits/kinds/ignition_switch.h"

static const bp_pin_decl pins[] = {
    [BP_IGNITION_SWITCH_PIN_30] = {.name = "30",
                                   .sort = BP_PIN_PLUG,
                                   .words = "feed from the battery"},
    [BP_IGNITION_SWITCH_PIN_75] = {.name = "75",
                                   .sort = BP_PIN_PLUG,
                                   .optional = true,
                                   .words = "accessories, dead in crank"},
    [BP_IGNITION_SWITCH_PIN_15] = {.name = "15",
                                   .sort = BP_PIN_PLUG,
                                   .optional = true,
                                   .words = "ignition, live in run and crank"},
    [BP_IGNITION_SWITCH_PIN_15X] = {.name = "15x",
                                    .sort = BP_PIN_PLUG,
                                    .optional = true,
                                    .words = "heavy loads, live in run, dead in crank"},
    [BP_IGNITION_SWITCH_PIN_50] = {.name = "50",
                                   .sort = BP_PIN_PLUG,
                                   .optional = true,
                                   .words = "starter, live in crank"},
    {0}};

static const bp_param_decl params[] = {
    [BP_IGNITION_SWITCH_RESISTANCE] = {.key = "resistance",
                                       .type = BP_PARAM_QUANTITY,
                                       .unit = BP_UNIT_OHM,
                                       .def = 5e-3,
                                       .lo = 1e-6,
                                       .hi = 10,
                                       .tol = 0.6,
                                       .tol_sort = BP_TOL_RELATIVE,
                                       .words = "resistance of a closed contact",
                                       .source =
                                           "data-sheet typical, new, 20 A contacts (from memory)"},
    {0}};

static const char *const settings[] = {"off", "accessory", "run", "crank", NULL};

static bool wired(const bp_part *part, const char *pin) {
    size_t index = bp_pin_find(part, pin);
    return index != BP_NONE && part->pins[index].n_wires > 0;
}

static bool has_15(const bp_part *part) { return wired(part, "15"); }
static bool has_50(const bp_part *part) { return wired(part, "50"); }
static bool has_75(const bp_part *part) { return wired(part, "75"); }
static bool has_15x(const bp_part *part) { return wired(part, "15x"); }

/* What modes of one place cannot set in two ways at once. */
enum { CONTACT_15 = 1, STICKS_15 = 2, CRANK_15 = 4, RUN_15 = 8, CONTACT_50 = 16, STICKS_50 = 32 };

static const bp_mode_decl modes[] = {
    [BP_IGNITION_SWITCH_OPEN_15] = {.id = "open-15",
                                    .sets = CONTACT_15 | STICKS_15,
                                    .words = "%s: contact 15 open",
                                    .scope = BP_SCOPE_PART,
                                    .weight = 0.8,
                                    .intermittent = true,
                                    .applies = has_15},
    [BP_IGNITION_SWITCH_RESISTANCE_15] = {.id = "resistance-15",
                                          .sets = CONTACT_15,
                                          .words = "%s: contact 15 burnt, high resistance",
                                          .scope = BP_SCOPE_PART,
                                          .scale = BP_SCALE_LOG,
                                          .unit = BP_UNIT_OHM,
                                          .lo = 0.05,
                                          .hi = 100.0,
                                          .typical = 0.5,
                                          .weight = 1.0,
                                          .intermittent = true,
                                          .applies = has_15},
    [BP_IGNITION_SWITCH_DEAD_IN_CRANK_15] = {.id = "dead-in-crank-15",
                                             .sets = CRANK_15,
                                             .words = "%s: contact 15 dead in crank, live in run",
                                             .scope = BP_SCOPE_PART,
                                             .weight = 0.4,
                                             .intermittent = true,
                                             .applies = has_15},
    [BP_IGNITION_SWITCH_DEAD_IN_RUN_15] = {.id = "dead-in-run-15",
                                           .sets = RUN_15,
                                           .words = "%s: contact 15 dead in run, live in crank",
                                           .scope = BP_SCOPE_PART,
                                           .weight = 0.4,
                                           .intermittent = true,
                                           .applies = has_15},
    [BP_IGNITION_SWITCH_STUCK_ON_15] = {.id = "stuck-on-15",
                                        .sets = STICKS_15 | CRANK_15 | RUN_15,
                                        .words = "%s: contact 15 stays live when switched off",
                                        .scope = BP_SCOPE_PART,
                                        .weight = 0.2,
                                        .intermittent = true,
                                        .applies = has_15},
    [BP_IGNITION_SWITCH_OPEN_50] = {.id = "open-50",
                                    .sets = CONTACT_50 | STICKS_50,
                                    .words = "%s: contact 50 open",
                                    .scope = BP_SCOPE_PART,
                                    .weight = 0.6,
                                    .intermittent = true,
                                    .applies = has_50},
    [BP_IGNITION_SWITCH_RESISTANCE_50] = {.id = "resistance-50",
                                          .sets = CONTACT_50,
                                          .words = "%s: contact 50 burnt, high resistance",
                                          .scope = BP_SCOPE_PART,
                                          .scale = BP_SCALE_LOG,
                                          .unit = BP_UNIT_OHM,
                                          .lo = 0.05,
                                          .hi = 100.0,
                                          .typical = 0.5,
                                          .weight = 0.8,
                                          .intermittent = true,
                                          .applies = has_50},
    [BP_IGNITION_SWITCH_STUCK_ON_50] = {.id = "stuck-on-50",
                                        .sets = STICKS_50,
                                        .words = "%s: contact 50 stays live after cranking",
                                        .scope = BP_SCOPE_PART,
                                        .weight = 0.2,
                                        .intermittent = true,
                                        .applies = has_50},
    [BP_IGNITION_SWITCH_OPEN_75] = {.id = "open-75",
                                    .words = "%s: contact 75 open",
                                    .scope = BP_SCOPE_PART,
                                    .weight = 0.4,
                                    .intermittent = true,
                                    .applies = has_75},
    [BP_IGNITION_SWITCH_OPEN_15X] = {.id = "open-15x",
                                     .words = "%s: contact 15x open",
                                     .scope = BP_SCOPE_PART,
                                     .weight = 0.4,
                                     .intermittent = true,
                                     .applies = has_15x},
    {0}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_IGNITION_SWITCH_PIN_30, BP_IGNITION_SWITCH_PIN_75,
     "while in accessory or run"},
    {BP_BRANCH_SWITCHED, BP_IGNITION_SWITCH_PIN_30, BP_IGNITION_SWITCH_PIN_15,
     "while in run or crank"},
    {BP_BRANCH_SWITCHED, BP_IGNITION_SWITCH_PIN_30, BP_IGNITION_SWITCH_PIN_15X, "while in run"},
    {BP_BRANCH_SWITCHED, BP_IGNITION_SWITCH_PIN_30, BP_IGNITION_SWITCH_PIN_50, "while in crank"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_ignition_switch = {
    .id = "ignition-switch",
    .words = "ignition switch",
    .note = "Feed 30 goes to 75 in accessory and run, to 15 in run and crank, to 15x in run only, "
            "to 50 in crank only; terminals by DIN 72552.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .modes = modes,
    .ways = ways,
    .access = 15,
    .fit = 45,
    .price = 60,
};
