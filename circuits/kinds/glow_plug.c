/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Glow plug: a sheathed element in the cylinder head.
 */
#include "circuits/kind.h"
#include "circuits/kinds/glow_plug.h"

static const bp_pin_decl pins[] = {
    [BP_GLOW_PIN_1] = {.name = "1", .sort = BP_PIN_BOLTED, .words = "terminal at its top"},
    [BP_GLOW_PIN_31] = {.name = "31",
                        .sort = BP_PIN_BOLTED,
                        .words = "shell, screwed into the cylinder head"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_GLOW_CURRENT] = {.key = "current",
                         .unit = BP_UNIT_AMPERE,
                         .def = 12,
                         .lo = 1,
                         .hi = 60,
                         .tol = 0.10,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "current at the rated voltage when it glows",
                         .source = "10 to 15 A: data-sheet typical of sheathed 11 V plugs, from "
                                   "memory"},
    [BP_GLOW_VOLTS] = {.key = "volts",
                       .unit = BP_UNIT_VOLT,
                       .def = 11,
                       .lo = 3,
                       .hi = 28,
                       .words = "voltage at which the current is stated",
                       .source = "data-sheet typical, printed on the plug: from memory"},
    [BP_GLOW_RISE] = {.key = "rise",
                      .unit = BP_UNIT_FRACTION,
                      .def = 2.5,
                      .lo = 1,
                      .hi = 10,
                      .words = "resistance when it glows at the rated voltage over that when cold",
                      .source = "30 A at once, 12 A when hot: data-sheet typical of plugs with a "
                                "control coil, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { FILAMENT = 1, PATH = 2 };

static const bp_mode_decl modes[] = {
    [BP_GLOW_OPEN] = {.id = "open",
                      .sets = FILAMENT | PATH,
                      .words = "element of %s burnt through",
                      .weight = 5},
    [BP_GLOW_SHORT] = {.id = "short",
                       .sets = FILAMENT,
                       .words = "element of %s touches its sheath",
                       .scale = BP_SCALE_LOG,
                       .unit = BP_UNIT_OHM,
                       .lo = 0.02,
                       .hi = 1,
                       .typical = 0.1,
                       .weight = 0.7},
    [BP_GLOW_RESISTANCE] = {.id = "resistance",
                            .sets = PATH,
                            .words = "%s aged: high resistance inside",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 0.2,
                            .hi = 50,
                            .typical = 1,
                            .weight = 2},
    [BP_GLOW_WRONG_VOLTAGE] = {.id = "wrong-voltage",
                               .words = "glow plug for another voltage fitted as %s",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_VOLT,
                               .lo = 4,
                               .hi = 24,
                               .typical = 23,
                               .weight = 0.3,
                               .seen_by_eye = true},
    {.id = NULL}};

const bp_kind bp_kind_glow_plug = {
    .id = "glow-plug",
    .words = "glow plug",
    .note = "Heats a cylinder of a diesel engine; its shell is its ground. The resistance rises "
            "as it heats, so that the current falls to less than half of what it was at once; an "
            "ohmmeter reads the cold one, below an ohm. The predictions are those of a plug that "
            "has warmed up.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .access = 10,
    .fit = 20,
    .price = 25,
};
