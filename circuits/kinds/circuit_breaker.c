/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Circuit breaker: a bimetal contact that its own current opens.
 */
#include "circuits/kind.h"
#include "circuits/kinds/circuit_breaker.h"

static const bp_pin_decl pins[] = {
    [BP_BREAKER_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_BREAKER_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "load side"},
    {.name = NULL}};

static const char *const resets[] = {"cycling", "holds-open", "by-hand", NULL};

static const bp_param_decl params[] = {
    [BP_BREAKER_RATING] = {.key = "rating",
                           .unit = BP_UNIT_AMPERE,
                           .def = BP_UNSET,
                           .required = true,
                           .lo = 1,
                           .hi = 200,
                           .tol = 0.08,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "rated current",
                           .source = "spread inside the window of SAE J553, which lets it trip "
                                     "anywhere between 1 and 1.35 times its rating: from memory"},
    [BP_BREAKER_RESET] = {.key = "reset",
                          .type = BP_PARAM_WORD,
                          .def = BP_BREAKER_CYCLING,
                          .choices = resets,
                          .words = "how it closes again: cycling (by itself when it has cooled), "
                                   "holds-open (when its load or its feed is switched off), "
                                   "by-hand (one shot: somebody pushes its button)",
                          .source = "types I, II and III of SAE J553: from memory"},
    [BP_BREAKER_RESISTANCE] = {.key = "resistance",
                               .unit = BP_UNIT_OHM,
                               .def = BP_UNSET,
                               .lo = 1e-4,
                               .hi = 1,
                               .tol = 0.3,
                               .tol_sort = BP_TOL_RELATIVE,
                               .words = "resistance, terminal to terminal; unset: 0.1 V at its "
                                        "rating",
                               .source = "at most 0.15 V at the rating: data-sheet typical, from "
                                         "memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { CONTACT = 1, STICKS = 2, TRIPS = 4 };

static const bp_mode_decl modes[] = {
    [BP_BREAKER_OPEN] = {.id = "open",
                         .sets = CONTACT | STICKS,
                         .words = "contacts of %s do not close",
                         .weight = 1,
                         .intermittent = true},
    [BP_BREAKER_BURNT] = {.id = "resistance",
                          .sets = CONTACT,
                          .words = "contacts of %s burnt: high resistance",
                          .scale = BP_SCALE_LOG,
                          .unit = BP_UNIT_OHM,
                          .lo = 0.02,
                          .hi = 50,
                          .typical = 0.3,
                          .weight = 1.5,
                          .intermittent = true},
    [BP_BREAKER_TRIPS_EARLY] = {.id = "trips-early",
                                .sets = TRIPS,
                                .words = "%s tired: it trips at less than its rating",
                                .scale = BP_SCALE_LINEAR,
                                .unit = BP_UNIT_FRACTION,
                                .lo = 0.05,
                                .hi = 0.95,
                                .typical = 0.3,
                                .weight = 1},
    [BP_BREAKER_WELDED] = {.id = "welded",
                           .sets = STICKS | TRIPS,
                           .words = "contacts of %s welded: no reading shows it until an overload "
                                    "does not trip it",
                           .weight = 0.2},
    [BP_BREAKER_WRONG_RATING] = {.id = "wrong-rating",
                                 .words = "breaker of the wrong rating fitted as %s",
                                 .scale = BP_SCALE_LOG,
                                 .unit = BP_UNIT_AMPERE,
                                 .lo = 1,
                                 .hi = 60,
                                 .typical = 5,
                                 .weight = 0.2,
                                 .seen_by_eye = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_GUARDS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_circuit_breaker = {
    .id = "circuit-breaker",
    .words = "circuit breaker",
    .note = "A bimetal that its own current bends until its contact opens: within half an hour "
            "above 1.35 times its rating, within a minute at twice. A cycling one closes again "
            "when it has cooled, one that holds open is kept warm by a resistor across its "
            "contact, one reset by hand stays open.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 3,
    .fit = 5,
    .price = 12,
};
