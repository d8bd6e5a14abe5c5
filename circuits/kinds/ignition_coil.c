/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition coil: primary and secondary windings.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/ignition_coil.h"

static const bp_pin_decl pins[] = {
    [BP_IGNITION_PIN_15] = {.name = "15", .sort = BP_PIN_PLUG, .words = "switched feed"},
    [BP_IGNITION_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "to the driver"},
    [BP_IGNITION_PIN_4] = {.name = "4",
                           .sort = BP_PIN_PLUG,
                           .optional = true,
                           .words = "high voltage to the plug",
                           .high_voltage = true},
    [BP_IGNITION_PIN_4B] = {.name = "4b",
                            .sort = BP_PIN_PLUG,
                            .optional = true,
                            .words = "the other end of the secondary, to a second plug",
                            .high_voltage = true},
    {.name = NULL}};

static const char *const places[] = {"cabin", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_IGNITION_PRIMARY] = {.key = "primary",
                             .unit = BP_UNIT_OHM,
                             .def = 0.7,
                             .lo = 0.1,
                             .hi = 10,
                             .tol = 0.10,
                             .tol_sort = BP_TOL_RELATIVE,
                             .words = "resistance of the primary at 20 °C",
                             .source = "0.3 to 1 ohm with electronic ignition, 3 to 4 ohm with "
                                       "points: data-sheet typical, from memory"},
    [BP_IGNITION_SECONDARY] = {.key = "secondary",
                               .unit = BP_UNIT_OHM,
                               .def = 9000,
                               .lo = 500,
                               .hi = 5e4,
                               .tol = 0.15,
                               .tol_sort = BP_TOL_RELATIVE,
                               .words = "resistance of the secondary at 20 °C, from 4 to 1",
                               .source = "6 to 13 kilohm: data-sheet typical, from memory"},
    [BP_IGNITION_INDUCTANCE] = {.key = "inductance",
                                .unit = BP_UNIT_HENRY,
                                .def = 4.5e-3,
                                .lo = 1e-4,
                                .hi = 0.1,
                                .words = "inductance of the primary; steady readings do not depend "
                                         "on it",
                                .source = "3 to 8 mH: data-sheet typical, from memory"},
    [BP_IGNITION_VOLTS] = {.key = "volts",
                           .unit = BP_UNIT_VOLT,
                           .def = 12,
                           .lo = 3,
                           .hi = 30,
                           .words = "rated voltage",
                           .source = "12 V supply"},
    [BP_IGNITION_PLACE] = {.key = "place",
                           .type = BP_PARAM_WORD,
                           .def = 1,
                           .choices = places,
                           .words = "where it sits, for its temperature: cabin or engine",
                           .source = "common practice: on the engine"},
    [BP_IGNITION_RATIO] = {.key = "ratio",
                           .unit = BP_UNIT_NONE,
                           .def = 80,
                           .lo = 10,
                           .hi = 400,
                           .tol = 0.05,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "turns of the secondary for one of the primary",
                           .source = "70 to 100: data-sheet typical, from memory; 100 in US Army "
                                     "TM 9-8000"},
    [BP_IGNITION_COUPLING] = {.key = "coupling",
                              .unit = BP_UNIT_NONE,
                              .def = 0.97,
                              .lo = 0.5,
                              .hi = 0.9999,
                              .words = "how much of the field of one winding goes through the "
                                       "other",
                              .source = "0.95 to 0.99: from memory"},
    [BP_IGNITION_CAPACITANCE] = {.key = "capacitance",
                                 .unit = BP_UNIT_FARAD,
                                 .def = 30e-12,
                                 .lo = 1e-13,
                                 .hi = 1e-8,
                                 .words = "of the secondary to ground",
                                 .source = "20 to 50 pF: data-sheet typical, from memory"},
    [BP_IGNITION_LOSS] = {.key = "loss",
                          .unit = BP_UNIT_OHM,
                          .def = 1.5e6,
                          .lo = 1e4,
                          .hi = 1e12,
                          .words = "resistance across the secondary that would heat as its iron "
                                   "does",
                          .source =
                              "1 to 2 Mohm where the iron is laminated and closed, a third of "
                              "that in an old can with a rod of it: from memory"},
    [BP_IGNITION_INSULATION] = {.key = "insulation",
                                .unit = BP_UNIT_VOLT,
                                .def = 50e3,
                                .lo = 1e3,
                                .hi = 2e5,
                                .words = "voltage at which the secondary breaks down inside",
                                .source = "well above what it is asked for: data-sheet typical, "
                                          "from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { PRIMARY = 1 };

static const bp_mode_decl modes[] = {
    [BP_IGNITION_PRIMARY_OPEN] = {.id = "primary-open",
                                  .sets = PRIMARY,
                                  .words = "primary of %s open",
                                  .weight = 2,
                                  .intermittent = true},
    [BP_IGNITION_PRIMARY_SHORTED_TURNS] = {.id = "primary-shorted-turns",
                                           .words = "turns of the primary of %s shorted",
                                           .scale = BP_SCALE_LINEAR,
                                           .unit = BP_UNIT_FRACTION,
                                           .lo = 0.1,
                                           .hi = 0.95,
                                           .typical = 0.4,
                                           .weight = 1},
    [BP_IGNITION_PRIMARY_RESISTANCE] = {.id = "primary-resistance",
                                        .sets = PRIMARY,
                                        .words = "high resistance in the primary of %s",
                                        .scale = BP_SCALE_LOG,
                                        .unit = BP_UNIT_OHM,
                                        .lo = 0.1,
                                        .hi = 200,
                                        .typical = 2,
                                        .weight = 0.7,
                                        .intermittent = true},
    [BP_IGNITION_PRIMARY_GROUND_LEAK] = {.id = "primary-ground-leak",
                                         .words = "primary of %s leaks to ground at terminal 1",
                                         .scale = BP_SCALE_LOG,
                                         .unit = BP_UNIT_OHM,
                                         .lo = 0.1,
                                         .hi = 1e4,
                                         .typical = 10,
                                         .weight = 0.5},
    [BP_IGNITION_SECONDARY_OPEN] = {.id = "secondary-open",
                                    .words = "secondary of %s open (volts do not show it; an "
                                             "ohmmeter between 4 and 1 does)",
                                    .weight = 1.5},
    [BP_IGNITION_SECONDARY_SHORTED_TURNS] = {.id = "secondary-shorted-turns",
                                             .words = "turns of the secondary of %s shorted (volts "
                                                      "do not show it)",
                                             .scale = BP_SCALE_LINEAR,
                                             .unit = BP_UNIT_FRACTION,
                                             .lo = 0.1,
                                             .hi = 0.95,
                                             .typical = 0.4,
                                             .weight = 1},
    [BP_IGNITION_SECONDARY_BREAKS_DOWN] = {.id = "secondary-breaks-down",
                                           .words = "insulation of %s breaks down under voltage "
                                                    "(the meter does not see it: a spark tester "
                                                    "does)",
                                           .scale = BP_SCALE_LINEAR,
                                           .unit = BP_UNIT_VOLT,
                                           .lo = 2e3,
                                           .hi = 2.5e4,
                                           .typical = 1.1e4,
                                           .weight = 2},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_LOAD, BP_IGNITION_PIN_15, BP_IGNITION_PIN_1, "the primary of"},
    {BP_BRANCH_SPARK_SOURCE, BP_IGNITION_PIN_4, BP_IGNITION_PIN_1, NULL},
    {BP_BRANCH_SPARK_SOURCE, BP_IGNITION_PIN_4B, BP_IGNITION_PIN_1, NULL},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_ignition_coil = {
    .id = "ignition-coil",
    .words = "ignition coil",
    .note =
        "Ignition coil: primary from 15 to 1 in copper, secondary from 4 to 1, or from 4 to 4b "
        "where a wire is on 4b (a coil for two plugs). What switches terminal 1 is a part of its "
        "own. A meter sees its windings; field, high voltage and breakdown of its insulation are "
        "there in a waveform. Terminals as in DIN 72552.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 4,
    .fit = 15,
    .price = 60,
};
