/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inertia switch: a ball on a magnet that a hard knock throws; cuts the fuel pump until reset by
 * hand.
 */
#include "circuits/kind.h"
#include "circuits/kinds/inertia_switch.h"

static const bp_pin_decl pins[] = {
    [BP_INERTIA_SWITCH_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_INERTIA_SWITCH_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "load side"},
    {0}};

static const bp_param_decl params[] = {
    [BP_INERTIA_SWITCH_OHM] =
        {.key = "resistance",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_OHM,
         .def = 10e-3,
         .lo = 1e-6,
         .hi = 10,
         .tol = 0.6,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "resistance of the closed contact",
         .source = "data-sheet typical of plug-in switch contacts, new (from memory)"},
    {0}};

static const char *const settings[] = {"set", "tripped", NULL};

/* What modes of one place cannot set in two ways at once. */
enum { CONTACT = 1, STICKS = 2, TRIPS = 4 };

static const bp_mode_decl modes[] = {
    [BP_INERTIA_SWITCH_TRIPPED] = {.id = "tripped",
                                   .sets = TRIPS,
                                   .words = "%s tripped by a knock",
                                   .scope = BP_SCOPE_PART,
                                   .weight = 1.0,
                                   .seen_by_eye = true},
    [BP_INERTIA_SWITCH_OPEN] = {.id = "open",
                                .sets = CONTACT | STICKS,
                                .words = "%s open though its button is set",
                                .scope = BP_SCOPE_PART,
                                .weight = 0.3,
                                .intermittent = true},
    [BP_INERTIA_SWITCH_RESISTANCE] = {.id = "resistance",
                                      .sets = CONTACT,
                                      .words = "%s contact corroded: high resistance",
                                      .scope = BP_SCOPE_PART,
                                      .scale = BP_SCALE_LOG,
                                      .unit = BP_UNIT_OHM,
                                      .lo = 0.05,
                                      .hi = 1000.0,
                                      .typical = 1.0,
                                      .weight = 0.6,
                                      .intermittent = true},
    [BP_INERTIA_SWITCH_STUCK_CLOSED] = {.id = "stuck-closed",
                                        .sets = STICKS | TRIPS,
                                        .words = "%s does not trip",
                                        .scope = BP_SCOPE_PART,
                                        .weight = 0.05},
    {0}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_INERTIA_SWITCH_PIN_1, BP_INERTIA_SWITCH_PIN_2, "while set"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_inertia_switch = {
    .id = "inertia-switch",
    .words = "inertia switch",
    .note = "Closed while set; a hard knock trips it and it stays open until its button is pushed "
            "in. Look for fuel leaks before it is set again.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 15,
    .price = 35,
};
