/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Electromagnetic horn: a winding whose own contact makes a diaphragm swing.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/horn.h"

static const bp_pin_decl pins[] = {
    [BP_HORN_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_HORN_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground side"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_HORN_CURRENT] = {.key = "current",
                         .unit = BP_UNIT_AMPERE,
                         .def = 5,
                         .lo = 0.5,
                         .hi = 30,
                         .tol = 0.15,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "mean current while it sounds at its rated voltage",
                         .source = "3 to 6 A: data-sheet typical, from memory"},
    [BP_HORN_VOLTS] = {.key = "volts",
                       .unit = BP_UNIT_VOLT,
                       .def = 13,
                       .lo = 6,
                       .hi = 28,
                       .words = "voltage at which the current is stated",
                       .source = "UN R28 tests 12 V horns at 13 V: from memory"},
    [BP_HORN_WINDING] = {.key = "winding",
                         .unit = BP_UNIT_OHM,
                         .def = BP_UNSET,
                         .lo = 0.05,
                         .hi = 50,
                         .tol = 0.1,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "resistance of the winding at 20 °C, the contact closed; unset: "
                                  "0.4 of its volts over its current",
                         .source = "the contact is closed for less than half of each swing: from "
                                   "memory"},
    [BP_HORN_SOUNDS_FROM] = {.key = "sounds-from",
                             .unit = BP_UNIT_VOLT,
                             .def = 9,
                             .lo = 4,
                             .hi = 20,
                             .tol = 0.7,
                             .tol_sort = BP_TOL_ABSOLUTE,
                             .words = "least voltage at which it sounds its note",
                             .source = "works from 9 V: data-sheet typical, from memory"},
    [BP_HORN_CROAKS_FROM] = {.key = "croaks-from",
                             .unit = BP_UNIT_VOLT,
                             .def = 6,
                             .lo = 2,
                             .hi = 15,
                             .tol = 0.7,
                             .tol_sort = BP_TOL_ABSOLUTE,
                             .words = "least voltage at which its contact opens at all: below its "
                                      "note it croaks, below this it is silent",
                             .source = "common practice: half the supply is silence"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { PATH = 1 };

static const bp_mode_decl modes[] = {
    [BP_HORN_OPEN] = {.id = "open",
                      .sets = PATH,
                      .words = "%s open inside: winding broken or contact burnt away",
                      .weight = 3,
                      .intermittent = true},
    [BP_HORN_RESISTANCE] = {.id = "resistance",
                            .sets = PATH,
                            .words = "contact of %s burnt: high resistance inside",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 0.2,
                            .hi = 50,
                            .typical = 2.5,
                            .weight = 2,
                            .intermittent = true},
    [BP_HORN_SEIZED] = {.id = "seized",
                        .words = "%s rusted fast or its contact stuck: silent, with current "
                                 "flowing",
                        .weight = 1.5},
    [BP_HORN_OUT_OF_TUNE] = {.id = "out-of-tune",
                             .words = "adjustment of %s off: it needs more volts for its note",
                             .scale = BP_SCALE_LINEAR,
                             .unit = BP_UNIT_VOLT,
                             .lo = 10,
                             .hi = 20,
                             .typical = 16,
                             .weight = 1},
    [BP_HORN_GROUND_LEAK] = {.id = "ground-leak",
                             .words = "winding of %s leaks to its bracket and the body",
                             .scale = BP_SCALE_LOG,
                             .unit = BP_UNIT_OHM,
                             .lo = 0.1,
                             .hi = 1e4,
                             .typical = 5,
                             .weight = 0.4},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    const double *param = part->param;
    if (param[BP_HORN_CROAKS_FROM] >= param[BP_HORN_SOUNDS_FROM])
        bp_part_mistake(part, report,
                        "%s croaks from %g V and sounds from %g V: a horn croaks below the voltage "
                        "at which it sounds its note",
                        part->id, param[BP_HORN_CROAKS_FROM], param[BP_HORN_SOUNDS_FROM]);
    else if (param[BP_HORN_WINDING] > param[BP_HORN_VOLTS] / param[BP_HORN_CURRENT])
        bp_part_mistake(part, report,
                        "the winding of %s alone takes less than its %g A at %g V: its mean "
                        "current while sounding cannot be more than what the winding takes",
                        part->id, param[BP_HORN_CURRENT], param[BP_HORN_VOLTS]);
}

const bp_kind bp_kind_horn = {
    .id = "horn",
    .words = "horn",
    .note = "Electromagnetic horn: its contact opens and closes its winding some hundred times a "
            "second. On low voltage the note turns into a croak, on less the contact stays closed "
            "and the horn is silent though current flows. Terminals 1 feed and 2 ground.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .access = 5,
    .fit = 10,
    .price = 20,
    .check = check,
};
