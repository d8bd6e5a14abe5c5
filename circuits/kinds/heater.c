/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Heater: a window, seat or mirror heating element.
 */
#include "circuits/kind.h"
#include "circuits/kinds/heater.h"

static const bp_pin_decl pins[] = {
    [BP_HEATER_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_HEATER_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground side"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_HEATER_POWER] = {.key = "power",
                         .unit = BP_UNIT_WATT,
                         .def = BP_UNSET,
                         .required = true,
                         .lo = 1,
                         .hi = 3000,
                         .tol = 0.10,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "power at the rated voltage, warmed up",
                         .source = "10 % between good ones: data-sheet typical, from memory"},
    [BP_HEATER_VOLTS] = {.key = "volts",
                         .unit = BP_UNIT_VOLT,
                         .def = 13.5,
                         .lo = 3,
                         .hi = 60,
                         .words = "voltage at which the power is stated",
                         .source = "13.5 V is the usual test voltage: data-sheet typical"},
    [BP_HEATER_RISE] = {.key = "rise",
                        .unit = BP_UNIT_FRACTION,
                        .def = 1.15,
                        .lo = 1,
                        .hi = 10,
                        .words = "resistance when warmed up at the rated voltage over that when "
                                 "cold",
                        .source = "silver print of a window, 0.0038/K and 40 K warmer: handbooks, "
                                  "from memory; nickel-chrome wire 1.05"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { PATH = 1 };

static const bp_mode_decl modes[] = {
    [BP_HEATER_OPEN] = {.id = "open",
                        .sets = PATH,
                        .words = "element of %s broken",
                        .weight = 3,
                        .intermittent = true},
    [BP_HEATER_PARTLY_BROKEN] = {.id = "partly-broken",
                                 .words = "some lines of %s broken: this share of it stays cold",
                                 .scale = BP_SCALE_LINEAR,
                                 .unit = BP_UNIT_FRACTION,
                                 .lo = 0.05,
                                 .hi = 0.95,
                                 .typical = 0.4,
                                 .weight = 3,
                                 .seen_by_eye = true},
    [BP_HEATER_PARTLY_SHORTED] = {.id = "partly-shorted",
                                  .words = "element of %s folded onto itself: this share of it is "
                                           "bridged",
                                  .scale = BP_SCALE_LINEAR,
                                  .unit = BP_UNIT_FRACTION,
                                  .lo = 0.05,
                                  .hi = 0.95,
                                  .typical = 0.4,
                                  .weight = 0.5},
    [BP_HEATER_RESISTANCE] = {.id = "resistance",
                              .sets = PATH,
                              .words = "connection inside %s bad: high resistance",
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.05,
                              .hi = 100,
                              .typical = 1,
                              .weight = 1.5,
                              .intermittent = true},
    [BP_HEATER_GROUND_LEAK] = {.id = "ground-leak",
                               .words = "element of %s touches the body",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 0.05,
                               .hi = 1e4,
                               .typical = 2,
                               .weight = 0.4,
                               .intermittent = true},
    {.id = NULL}};

const bp_kind bp_kind_heater = {
    .id = "heater",
    .words = "heater",
    .note = "Heating element: its resistance rises with its own heat, so it takes more current "
            "cold than warmed up and an ohmmeter reads less than its power says. Terminals 1 feed "
            "and 2 ground.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .access = 8,
    .fit = 60,
    .price = 80,
};
