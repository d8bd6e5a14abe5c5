/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Spark plug in its cylinder.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/spark_plug.h"

static const bp_pin_decl pins[] = {
    [BP_PLUG_PIN_4] = {.name = "4",
                       .sort = BP_PIN_PLUG,
                       .words = "high voltage",
                       .high_voltage = true},
    [BP_PLUG_PIN_31] = {.name = "31", .sort = BP_PIN_BOLTED, .words = "shell, to the engine"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_PLUG_GAP] = {.key = "gap",
                     .unit = BP_UNIT_METRE,
                     .def = 0.8e-3,
                     .lo = 1e-4,
                     .hi = 5e-3,
                     .tol = 0.15,
                     .tol_sort = BP_TOL_RELATIVE,
                     .words = "distance between its electrodes",
                     .source = "0.6 to 1.1 mm: data-sheet typical"},
    [BP_PLUG_DENSITY] = {.key = "density",
                         .unit = BP_UNIT_NONE,
                         .def = 3,
                         .lo = 0.1,
                         .hi = 30,
                         .words = "how much denser the gas between the electrodes is than open air "
                                  "when it fires, at idle",
                         .source = "compressed about 7 times from a third of an atmosphere, and 7 "
                                   "to 10 pulling hard; 1 with the plug in open air: from memory"},
    [BP_PLUG_DENSITY_CRANKING] = {.key = "density-cranking",
                                  .unit = BP_UNIT_NONE,
                                  .def = 6.7,
                                  .lo = 0.1,
                                  .hi = 30,
                                  .words = "the same while cranking",
                                  .source = "compressed about 7 times from nearly an atmosphere: "
                                            "from memory"},
    [BP_PLUG_RESISTOR] = {.key = "resistor",
                          .unit = BP_UNIT_OHM,
                          .def = 5000,
                          .lo = 1,
                          .hi = 5e4,
                          .tol = 0.3,
                          .tol_sort = BP_TOL_RELATIVE,
                          .words = "suppressor inside; 1 ohm: none",
                          .source = "5 kilohm: data-sheet typical"},
    [BP_PLUG_CAPACITANCE] = {.key = "capacitance",
                             .unit = BP_UNIT_FARAD,
                             .def = 10e-12,
                             .lo = 1e-13,
                             .hi = 1e-9,
                             .words = "of its insulator",
                             .source = "8 to 15 pF: data-sheet typical, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { GAP = 1 };

static const bp_mode_decl modes[] = {
    [BP_PLUG_WIDE_GAP] = {.id = "wide-gap",
                          .sets = GAP,
                          .words = "gap of %s worn wide",
                          .scale = BP_SCALE_LINEAR,
                          .unit = BP_UNIT_METRE,
                          .lo = 1e-3,
                          .hi = 4e-3,
                          .typical = 1.6e-3,
                          .weight = 2,
                          .seen_by_eye = true},
    [BP_PLUG_BRIDGED] = {.id = "bridged",
                         .sets = GAP,
                         .words = "gap of %s bridged by a deposit",
                         .scale = BP_SCALE_LOG,
                         .unit = BP_UNIT_OHM,
                         .lo = 1,
                         .hi = 1e4,
                         .typical = 100,
                         .weight = 0.5,
                         .seen_by_eye = true},
    [BP_PLUG_FOULED] = {.id = "fouled",
                        .words = "%s fouled: its insulator leaks",
                        .scale = BP_SCALE_LOG,
                        .unit = BP_UNIT_OHM,
                        .lo = 2e4,
                        .hi = 2e7,
                        .typical = 3e5,
                        .weight = 2,
                        .seen_by_eye = true,
                        .intermittent = true},
    [BP_PLUG_RESISTOR_OPEN] = {.id = "resistor-open",
                               .words = "resistor of %s burnt through: the spark has to jump it",
                               .scale = BP_SCALE_LINEAR,
                               .unit = BP_UNIT_METRE,
                               .lo = 2e-4,
                               .hi = 1e-2,
                               .typical = 2e-3,
                               .weight = 0.5},
    [BP_PLUG_FLASHES_OVER] = {.id = "flashes-over",
                              .words = "insulator of %s cracked or wet: the spark runs down its "
                                       "outside",
                              .scale = BP_SCALE_LINEAR,
                              .unit = BP_UNIT_VOLT,
                              .lo = 2e3,
                              .hi = 2e4,
                              .typical = 6e3,
                              .weight = 1,
                              .seen_by_eye = true,
                              .intermittent = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_SPARK, BP_PLUG_PIN_4, BP_PLUG_PIN_31, NULL},
                                 {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_spark_plug = {
    .id = "spark-plug",
    .words = "spark plug",
    .note = "Spark plug: a resistor and a gap that breaks down at a voltage which its width and "
            "the density of the gas decide. To a meter it is open. Terminals 4 high voltage and 31 "
            "shell.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 6,
    .fit = 6,
    .price = 6,
};
