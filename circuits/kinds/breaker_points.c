/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Contact breaker: points that a cam opens.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/breaker_points.h"

static const bp_pin_decl pins[] = {
    [BP_POINTS_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "moving contact, to the coil"},
    [BP_POINTS_PIN_31] = {.name = "31",
                          .sort = BP_PIN_BOLTED,
                          .words = "fixed contact, base plate"},
    {.name = NULL}};

static const char *const settings[] = {"closed", "open", "turning", NULL};

static const bp_param_decl params[] = {
    [BP_POINTS_CONTACT] = {.key = "contact",
                           .unit = BP_UNIT_OHM,
                           .def = 0.03,
                           .lo = 1e-3,
                           .hi = 1,
                           .words = "resistance of the closed points",
                           .source = "at most 0.1 to 0.2 V at 4 A: common practice"},
    [BP_POINTS_DWELL] = {.key = "dwell",
                         .unit = BP_UNIT_FRACTION,
                         .def = 0.6,
                         .lo = 0.1,
                         .hi = 0.95,
                         .tol = 0.05,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "share of the time between sparks that they are closed",
                         .source =
                             "54 of 90 degrees of the cam of four cylinders: common practice"},
    [BP_POINTS_SPARKS] = {.key = "sparks",
                          .unit = BP_UNIT_NONE,
                          .def = 2,
                          .lo = 0.5,
                          .hi = 6,
                          .words = "openings a turn of the crankshaft",
                          .source = "2: four cylinders"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { GAP = 1 };

static const bp_mode_decl modes[] = {
    [BP_POINTS_BURNT] = {.id = "burnt",
                         .words = "points of %s burnt or oily: high resistance when closed",
                         .scale = BP_SCALE_LOG,
                         .unit = BP_UNIT_OHM,
                         .lo = 0.2,
                         .hi = 50,
                         .typical = 2,
                         .weight = 2,
                         .seen_by_eye = true,
                         .intermittent = true},
    [BP_POINTS_DO_NOT_CLOSE] = {.id = "do-not-close",
                                .sets = GAP,
                                .words = "points of %s do not close",
                                .weight = 1,
                                .seen_by_eye = true},
    [BP_POINTS_DO_NOT_OPEN] = {.id = "do-not-open",
                               .sets = GAP,
                               .words = "points of %s do not open: no gap, or their wire grounded",
                               .weight = 1,
                               .seen_by_eye = true},
    [BP_POINTS_WIDE] = {.id = "wide",
                        .sets = GAP,
                        .words = "points of %s set too wide: too little dwell",
                        .scale = BP_SCALE_LINEAR,
                        .unit = BP_UNIT_FRACTION,
                        .lo = 0.1,
                        .hi = 0.45,
                        .typical = 0.25,
                        .weight = 1},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_POINTS_PIN_1, BP_POINTS_PIN_31, "while closed"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_breaker_points = {
    .id = "breaker-points",
    .words = "breaker points",
    .note = "Points that a cam opens once a spark; a condenser (a capacitor of its own) across "
            "them keeps them from arcing. They stand closed or open while the engine is stopped; "
            "turning is in step with the engine's speed, which only a waveform shows: a steady "
            "reading is taken with them closed. Terminals 1 to the coil and 31 base plate.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .rhythm = "turning",
    .modes = modes,
    .ways = ways,
    .access = 6,
    .fit = 25,
    .price = 12,
};
