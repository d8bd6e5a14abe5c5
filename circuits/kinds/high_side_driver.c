/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Output stage of a control module that switches the feed of a load.
 */
#include "circuits/kinds/high_side_driver.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_HIGH_SIDE_PIN_30] = {.name = "30", .sort = BP_PIN_PLUG, .words = "feed of the output"},
    [BP_HIGH_SIDE_PIN_OUT] = {.name = "out", .sort = BP_PIN_PLUG, .words = "output to the load"},
    [BP_HIGH_SIDE_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground of the module"},
    [BP_HIGH_SIDE_PIN_15] = {.name = "15",
                             .sort = BP_PIN_PLUG,
                             .optional = true,
                             .words = "switched feed of the module"},
    {.name = NULL}};

static const char *const settings[] = {"off", "on", NULL};

static const bp_param_decl params[] = {
    [BP_HIGH_SIDE_ON_RESISTANCE] = {.key = "on-resistance",
                                    .unit = BP_UNIT_OHM,
                                    .def = 0.03,
                                    .lo = 1e-4,
                                    .hi = 20,
                                    .tol = 0.5,
                                    .tol_sort = BP_TOL_RELATIVE,
                                    .words = "resistance from 30 to out when switched on",
                                    .source = "10 to 100 mohm for lamp drivers: data-sheet "
                                              "typical, from memory"},
    [BP_HIGH_SIDE_LEAKAGE] = {.key = "leakage",
                              .unit = BP_UNIT_OHM,
                              .def = 1e6,
                              .lo = 1e3,
                              .hi = 1e9,
                              .words = "resistance from 30 to out when switched off: an unplugged "
                                       "load's wire reads nearly the feed",
                              .source = "some 10 uA at 12 V: data-sheet typical, from memory"},
    [BP_HIGH_SIDE_DRAW] = {.key = "draw",
                           .unit = BP_UNIT_AMPERE,
                           .def = 0.15,
                           .lo = 1e-3,
                           .hi = 5,
                           .tol = 0.3,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "current that the module takes at 12 V on its feed",
                           .source = "common practice: small module awake"},
    [BP_HIGH_SIDE_WORKS_FROM] = {.key = "works-from",
                                 .unit = BP_UNIT_VOLT,
                                 .def = 6,
                                 .lo = 2,
                                 .hi = 12,
                                 .tol = 0.5,
                                 .tol_sort = BP_TOL_ABSOLUTE,
                                 .words = "least voltage between feed and 31 for the module to "
                                          "work",
                                 .source = "6 V, so that cranking does not reset it: data-sheet "
                                           "typical, from memory; it keeps on 0.5 V below that"},
    [BP_HIGH_SIDE_LIMIT] = {.key = "limit",
                            .unit = BP_UNIT_AMPERE,
                            .def = 25,
                            .lo = 0.05,
                            .hi = 200,
                            .tol = 0.3,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "current at which the output shuts itself down",
                            .source = "20 to 40 A for lamp drivers: data-sheet typical, from "
                                      "memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { OUTPUT = 1 };

static const bp_mode_decl modes[] = {
    [BP_HIGH_SIDE_OUTPUT_OPEN] = {.id = "output-open",
                                  .sets = OUTPUT,
                                  .words = "output of %s open: it asks and nothing is switched",
                                  .weight = 1},
    [BP_HIGH_SIDE_OUTPUT_SHORTED] = {.id = "output-shorted",
                                     .sets = OUTPUT,
                                     .words = "output of %s shorted: the load is always on",
                                     .scale = BP_SCALE_LOG,
                                     .unit = BP_UNIT_OHM,
                                     .lo = 0.005,
                                     .hi = 20,
                                     .typical = 0.1,
                                     .weight = 0.7},
    [BP_HIGH_SIDE_NO_REQUEST] = {.id = "no-request",
                                 .words = "no request reaches the output of %s: the module does "
                                          "not ask",
                                 .weight = 2,
                                 .intermittent = true},
    [BP_HIGH_SIDE_WEAK] = {.id = "weak",
                           .words = "output of %s weak: high resistance when on",
                           .scale = BP_SCALE_LOG,
                           .unit = BP_UNIT_OHM,
                           .lo = 0.1,
                           .hi = 200,
                           .typical = 2,
                           .weight = 0.5,
                           .intermittent = true},
    [BP_HIGH_SIDE_LEAKY] = {.id = "leaky",
                            .words = "output of %s leaks when off",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 20,
                            .hi = 5e4,
                            .typical = 300,
                            .weight = 0.3},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_HIGH_SIDE_PIN_30, BP_HIGH_SIDE_PIN_OUT, "while it is asked to"},
    {BP_BRANCH_LOAD, BP_HIGH_SIDE_PIN_15, BP_HIGH_SIDE_PIN_31, "the module of"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_high_side_driver = {
    .id = "high-side-driver",
    .words = "high-side driver",
    .note = "Output stage of a control module that switches the feed (30) of a load. It works only "
            "while the module has its feed and its ground (31); without a wire on 15 the module "
            "feeds on 30. A feed that is lower than its output is fed back through it, as in every "
            "transistor of this sort.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 30,
    .price = 250,
};
