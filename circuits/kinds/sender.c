/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sender: a float arm on a wire-wound track, for the fuel gauge.
 */
#include "circuits/kinds/sender.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_SENDER_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "to the gauge"},
    [BP_SENDER_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground of the sender"},
    {.name = NULL}};

static const char *const settings[] = {"empty", "quarter", "half", "three-quarters", "full", NULL};

static const bp_param_decl params[] = {
    [BP_SENDER_EMPTY] = {.key = "empty",
                         .unit = BP_UNIT_OHM,
                         .def = 240,
                         .lo = 0.5,
                         .hi = 1e5,
                         .tol = 0.08,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "resistance with the tank empty",
                         .source = "240 to 33 ohm is a common range, 10 to 180 ohm another: from "
                                   "memory"},
    [BP_SENDER_FULL] = {.key = "full",
                        .unit = BP_UNIT_OHM,
                        .def = 33,
                        .lo = 0.5,
                        .hi = 1e5,
                        .tol = 0.08,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "resistance with the tank full",
                        .source = "240 to 33 ohm is a common range, 10 to 180 ohm another: from "
                                  "memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { TRACK = 1 };

static const bp_mode_decl modes[] = {
    [BP_SENDER_OPEN] = {.id = "open",
                        .sets = TRACK,
                        .words = "track of %s open",
                        .weight = 1,
                        .intermittent = true},
    [BP_SENDER_SHORT] = {.id = "short", .words = "%s shorted to its housing", .weight = 0.4},
    [BP_SENDER_STUCK] = {.id = "stuck",
                         .words = "float of %s sunk or caught",
                         .scale = BP_SCALE_LINEAR,
                         .unit = BP_UNIT_FRACTION,
                         .lo = 0,
                         .hi = 1,
                         .typical = 0,
                         .weight = 0.7},
    [BP_SENDER_RESISTANCE] = {.id = "resistance",
                              .sets = TRACK,
                              .words = "track of %s worn: high resistance",
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 5,
                              .hi = 1e4,
                              .typical = 150,
                              .weight = 0.8,
                              .intermittent = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_DROPS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_sender = {
    .id = "sender",
    .words = "sender",
    .note = "A float arm on a track: the fuel gauge's other half. How full the tank is, is for the "
            "state to say. Stuck is given as the level that its float stays at.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .modes = modes,
    .ways = ways,
    .access = 25,
    .fit = 60,
    .price = 70,
};
