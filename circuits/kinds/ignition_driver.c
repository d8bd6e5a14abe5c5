/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition driver: the stage that switches a coil's primary to ground and lets go.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/ignition_driver.h"

static const bp_pin_decl pins[] = {
    [BP_IGNITER_PIN_OUT] = {.name = "out", .sort = BP_PIN_PLUG, .words = "to terminal 1"},
    [BP_IGNITER_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground of the driver"},
    [BP_IGNITER_PIN_15] = {.name = "15",
                           .sort = BP_PIN_PLUG,
                           .optional = true,
                           .words = "switched feed of the driver"},
    {.name = NULL}};

static const char *const settings[] = {"off", "on", "sparking", NULL};

static const bp_param_decl params[] = {
    [BP_IGNITER_ON_RESISTANCE] = {.key = "on-resistance",
                                  .unit = BP_UNIT_OHM,
                                  .def = 0.15,
                                  .lo = 1e-3,
                                  .hi = 5,
                                  .tol = 0.4,
                                  .tol_sort = BP_TOL_RELATIVE,
                                  .words = "resistance from out to 31 when switched on",
                                  .source = "1 to 1.5 V at 7 A: data-sheet typical of ignition "
                                            "transistors, from memory"},
    [BP_IGNITER_LIMIT] = {.key = "limit",
                          .unit = BP_UNIT_AMPERE,
                          .def = 8,
                          .lo = 1,
                          .hi = 50,
                          .tol = 0.15,
                          .tol_sort = BP_TOL_RELATIVE,
                          .words = "current that it holds and lets no more through",
                          .source = "6 to 10 A: data-sheet typical, from memory"},
    [BP_IGNITER_CLAMP] = {.key = "clamp",
                          .unit = BP_UNIT_VOLT,
                          .def = 380,
                          .lo = 30,
                          .hi = 1000,
                          .tol = 0.10,
                          .tol_sort = BP_TOL_RELATIVE,
                          .words = "voltage at out at which it conducts to save itself",
                          .source = "350 to 400 V: data-sheet typical, from memory"},
    [BP_IGNITER_DWELL] = {.key = "dwell",
                          .unit = BP_UNIT_SECOND,
                          .def = 4e-3,
                          .lo = 1e-4,
                          .hi = 0.1,
                          .words = "time that it is on before each spark, four fifths of the time "
                                   "between sparks at most",
                          .source = "2.5 to 6 ms at 12 to 14 V: data-sheet typical, from memory"},
    [BP_IGNITER_SPARKS] = {.key = "sparks",
                           .unit = BP_UNIT_NONE,
                           .def = 2,
                           .lo = 0.5,
                           .hi = 6,
                           .words = "sparks a turn of the crankshaft",
                           .source = "2: four cylinders on one coil; 1: a coil for two cylinders; "
                                     "0.5: a coil a cylinder"},
    [BP_IGNITER_LEAKAGE] = {.key = "leakage",
                            .unit = BP_UNIT_OHM,
                            .def = 1e5,
                            .lo = 1e3,
                            .hi = 1e9,
                            .words = "resistance from out to 31 when switched off",
                            .source = "0.1 mA at 12 V: data-sheet typical, from memory"},
    [BP_IGNITER_DRAW] = {.key = "draw",
                         .unit = BP_UNIT_AMPERE,
                         .def = 0.05,
                         .lo = 1e-3,
                         .hi = 5,
                         .tol = 0.3,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "current that it takes at 12 V on its feed",
                         .source = "common practice"},
    [BP_IGNITER_WORKS_FROM] = {.key = "works-from",
                               .unit = BP_UNIT_VOLT,
                               .def = 6,
                               .lo = 2,
                               .hi = 12,
                               .tol = 0.5,
                               .tol_sort = BP_TOL_ABSOLUTE,
                               .words = "least voltage between 15 and 31 for it to work",
                               .source = "6 V, so that cranking does not reset it: data-sheet "
                                         "typical, from memory; it keeps on 0.5 V below that"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { OUTPUT = 1 };

static const bp_mode_decl modes[] = {
    [BP_IGNITER_OUTPUT_OPEN] = {.id = "output-open",
                                .sets = OUTPUT,
                                .words = "output of %s open: it is told to switch and does not",
                                .weight = 1},
    [BP_IGNITER_OUTPUT_SHORTED] = {.id = "output-shorted",
                                   .sets = OUTPUT,
                                   .words = "output of %s shorted: the coil is always on and gets "
                                            "hot",
                                   .scale = BP_SCALE_LOG,
                                   .unit = BP_UNIT_OHM,
                                   .lo = 0.02,
                                   .hi = 20,
                                   .typical = 0.3,
                                   .weight = 1},
    [BP_IGNITER_NO_REQUEST] = {.id = "no-request",
                               .words = "no command reaches %s: look at what tells it to spark",
                               .weight = 2,
                               .intermittent = true},
    [BP_IGNITER_WEAK] = {.id = "weak",
                         .words = "output of %s weak: high resistance when on",
                         .scale = BP_SCALE_LOG,
                         .unit = BP_UNIT_OHM,
                         .lo = 0.3,
                         .hi = 20,
                         .typical = 2,
                         .weight = 0.5,
                         .intermittent = true},
    [BP_IGNITER_LEAKY] = {.id = "leaky",
                          .words = "output of %s leaks when off",
                          .scale = BP_SCALE_LOG,
                          .unit = BP_UNIT_OHM,
                          .lo = 20,
                          .hi = 2e4,
                          .typical = 300,
                          .weight = 0.4},
    [BP_IGNITER_SHORT_DWELL] = {.id = "short-dwell",
                                .words = "%s is told to switch on too late: too little dwell",
                                .scale = BP_SCALE_LINEAR,
                                .unit = BP_UNIT_FRACTION,
                                .lo = 0.1,
                                .hi = 0.8,
                                .typical = 0.35,
                                .weight = 0.4,
                                .unseen = "dwell is a time: it shows on an oscilloscope"},
    [BP_IGNITER_CLAMPS_LOW] =
        {.id = "clamps-low",
         .words = "%s lets through at too low a voltage: a worn or wrong "
                  "driver",
         .scale = BP_SCALE_LINEAR,
         .unit = BP_UNIT_VOLT,
         .lo = 40,
         .hi = 300,
         .typical = 120,
         .weight = 0.4,
         .unseen =
             "below that voltage it is sound: the kick of the primary shows it on an oscilloscope"},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_IGNITER_PIN_OUT, BP_IGNITER_PIN_31, "while it is asked to"},
    {BP_BRANCH_LOAD, BP_IGNITER_PIN_15, BP_IGNITER_PIN_31, "the module of"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_ignition_driver = {
    .id = "ignition-driver",
    .words = "ignition driver",
    .note = "Stage that switches terminal 1 of an ignition coil to ground, holds the current at "
            "its limit and lets go when the spark is due. Set to sparking it does so in step with "
            "the engine's speed, which only a waveform shows: a steady reading is taken between "
            "two sparks, with the driver off. Set to on it is held on, as for a test.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .rhythm = "sparking",
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 20,
    .price = 120,
};
