/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Output stage of a control module that switches a load to ground.
 */
#include <math.h>

#include "circuits/circuit.h"
#include "circuits/kinds/low_side_driver.h"

static const bp_pin_decl pins[] = {
    [BP_DRIVER_PIN_OUT] = {.name = "out", .sort = BP_PIN_PLUG, .words = "output to the load"},
    [BP_DRIVER_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground of the module"},
    [BP_DRIVER_PIN_15] = {.name = "15",
                          .sort = BP_PIN_PLUG,
                          .optional = true,
                          .words = "switched feed of the module"},
    {.name = NULL}};

static const char *const settings[] = {"off", "on", "pulsing", NULL};

static const bp_param_decl params[] = {
    [BP_DRIVER_ON_RESISTANCE] = {.key = "on-resistance",
                                 .unit = BP_UNIT_OHM,
                                 .def = 0.6,
                                 .lo = 1e-3,
                                 .hi = 20,
                                 .tol = 0.4,
                                 .tol_sort = BP_TOL_RELATIVE,
                                 .words = "resistance from out to 31 when switched on",
                                 .source = "0.35 to 1 ohm: data-sheet typical of relay drivers, "
                                           "from memory"},
    [BP_DRIVER_LEAKAGE] = {.key = "leakage",
                           .unit = BP_UNIT_OHM,
                           .def = 1e5,
                           .lo = 1e3,
                           .hi = 1e9,
                           .words = "resistance from out to 31 when switched off, so that an open "
                                    "wire does not float",
                           .source = "0.1 mA at 12 V with the load's wire watched: data-sheet "
                                     "typical, from memory"},
    [BP_DRIVER_DRAW] = {.key = "draw",
                        .unit = BP_UNIT_AMPERE,
                        .def = 0.15,
                        .lo = 1e-3,
                        .hi = 5,
                        .tol = 0.3,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "current that the module takes at 12 V on its feed",
                        .source = "common practice: small module awake"},
    [BP_DRIVER_WORKS_FROM] = {.key = "works-from",
                              .unit = BP_UNIT_VOLT,
                              .def = 6,
                              .lo = 2,
                              .hi = 12,
                              .tol = 0.5,
                              .tol_sort = BP_TOL_ABSOLUTE,
                              .words = "least voltage between 15 and 31 for the module to work",
                              .source = "6 V, so that cranking does not reset it: data-sheet "
                                        "typical, from memory; it keeps on 0.5 V below that"},
    [BP_DRIVER_LIMIT] = {.key = "limit",
                         .unit = BP_UNIT_AMPERE,
                         .def = BP_UNSET,
                         .lo = 0.05,
                         .hi = 50,
                         .tol = 0.25,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "current at which the output shuts itself down; unset: never",
                         .source = "1 to 3 A for relay drivers: data-sheet typical, from memory"},
    [BP_DRIVER_FREQUENCY] = {.key = "frequency",
                             .unit = BP_UNIT_HERTZ,
                             .def = 100,
                             .lo = 0.05,
                             .hi = 30e3,
                             .words = "pulses in a second while pulsing",
                             .source =
                                 "100 Hz to some kilohertz for fans and valves, one a turn or "
                                 "two for injectors: common practice"},
    [BP_DRIVER_ON_TIME] = {.key = "on-time",
                           .unit = BP_UNIT_SECOND,
                           .def = 5e-3,
                           .lo = 1e-6,
                           .hi = 20,
                           .words = "how long it is on in each pulse",
                           .source = "common practice"},
    [BP_DRIVER_CLAMP] = {.key = "clamp",
                         .unit = BP_UNIT_VOLT,
                         .def = 60,
                         .lo = 20,
                         .hi = 1000,
                         .tol = 0.10,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "voltage at out at which it conducts to save itself when a "
                                  "winding kicks",
                         .source = "45 to 75 V: data-sheet typical of clamped outputs, from "
                                   "memory"},
    [BP_DRIVER_PEAK] = {.key = "peak",
                        .unit = BP_UNIT_AMPERE,
                        .def = BP_UNSET,
                        .lo = 0.1,
                        .hi = 50,
                        .tol = 0.10,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "current up to which it switches on fully, before it only holds; "
                                 "unset: it does not hold back",
                        .source = "4 A for petrol injectors of some 2 ohm: data-sheet typical, "
                                  "from memory"},
    [BP_DRIVER_HOLD] = {.key = "hold",
                        .unit = BP_UNIT_AMPERE,
                        .def = BP_UNSET,
                        .lo = 0.02,
                        .hi = 20,
                        .tol = 0.10,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "current that it lets through once the peak was there",
                        .source = "a quarter of the peak: data-sheet typical, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { OUTPUT = 1 };

static const bp_mode_decl modes[] = {
    [BP_DRIVER_OUTPUT_OPEN] = {.id = "output-open",
                               .sets = OUTPUT,
                               .words = "output of %s open: it asks and nothing is switched",
                               .weight = 1},
    [BP_DRIVER_OUTPUT_SHORTED] = {.id = "output-shorted",
                                  .sets = OUTPUT,
                                  .words = "output of %s shorted: the load is always on",
                                  .scale = BP_SCALE_LOG,
                                  .unit = BP_UNIT_OHM,
                                  .lo = 0.02,
                                  .hi = 20,
                                  .typical = 0.5,
                                  .weight = 0.7},
    [BP_DRIVER_NO_REQUEST] = {.id = "no-request",
                              .words = "no request reaches the output of %s: the module does not "
                                       "ask",
                              .weight = 2,
                              .intermittent = true},
    [BP_DRIVER_WEAK] = {.id = "weak",
                        .words = "output of %s weak: high resistance when on",
                        .scale = BP_SCALE_LOG,
                        .unit = BP_UNIT_OHM,
                        .lo = 1,
                        .hi = 500,
                        .typical = 30,
                        .weight = 0.5,
                        .intermittent = true},
    [BP_DRIVER_LEAKY] = {.id = "leaky",
                         .words = "output of %s leaks when off",
                         .scale = BP_SCALE_LOG,
                         .unit = BP_UNIT_OHM,
                         .lo = 20,
                         .hi = 5e4,
                         .typical = 300,
                         .weight = 0.3},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_DRIVER_PIN_OUT, BP_DRIVER_PIN_31, "while it is asked to"},
    {BP_BRANCH_LOAD, BP_DRIVER_PIN_15, BP_DRIVER_PIN_31, "the module of"},
    {.sort = BP_BRANCH_NONE}};

static void check(const bp_part *part, bp_report *report) {
    const double peak = part->param[BP_DRIVER_PEAK], hold = part->param[BP_DRIVER_HOLD];
    if (isnan(peak) != isnan(hold))
        bp_part_mistake(part, report, "%s names only one of peak and hold: expected both or none",
                        part->id);
    else if (hold >= peak)
        bp_part_mistake(part, report,
                        "%s holds %g A and peaks at %g A: expected to hold less than its peak",
                        part->id, hold, peak);
}

const bp_kind bp_kind_low_side_driver = {
    .id = "low-side-driver",
    .words = "low-side driver",
    .note = "Output stage of a control module that switches a load to ground. It works only while "
            "the module has its feed (15) and its ground "
            "(31); without a wire on 15 the module counts as fed. Set to pulsing it switches in "
            "its own "
            "rhythm, which a run over time, duty and hertz show; a steady reading is then taken "
            "between two pulses, with the output off. With a peak and a hold current it switches "
            "on fully up to "
            "the first and then lets no more than the other through, which is also what it does in "
            "steady state.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .rhythm = "pulsing",
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 30,
    .price = 250,
    .check = check,
};
