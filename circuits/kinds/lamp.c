/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Filament lamp in a socket.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/lamp.h"

static const bp_pin_decl pins[] = {
    [BP_LAMP_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_LAMP_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground side"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_LAMP_POWER] = {.key = "power",
                       .unit = BP_UNIT_WATT,
                       .def = BP_UNSET,
                       .required = true,
                       .lo = 0.2,
                       .hi = 150,
                       .tol = 0.06,
                       .tol_sort = BP_TOL_RELATIVE,
                       .words = "power at the rated voltage",
                       .source = "UN R37 objective values allow 6 % for most 12 V lamps, from "
                                 "memory"},
    [BP_LAMP_VOLTS] = {.key = "volts",
                       .unit = BP_UNIT_VOLT,
                       .def = 12,
                       .lo = 2,
                       .hi = 30,
                       .words = "rated voltage",
                       .source = "UN R37: 12 V lamps"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { FILAMENT = 1 };

static const bp_mode_decl modes[] = {
    [BP_LAMP_OPEN] = {.id = "open",
                      .sets = FILAMENT,
                      .words = "filament of %s broken",
                      .weight = 5,
                      .seen_by_eye = true},
    [BP_LAMP_SHORT] = {.id = "short",
                       .sets = FILAMENT,
                       .words = "short inside %s or its socket",
                       .scale = BP_SCALE_LOG,
                       .unit = BP_UNIT_OHM,
                       .lo = 0.01,
                       .hi = 1,
                       .typical = 0.05,
                       .weight = 0.3},
    [BP_LAMP_WRONG_BULB] = {.id = "wrong-bulb",
                            .words = "bulb of another power fitted in %s",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_WATT,
                            .lo = 1,
                            .hi = 60,
                            .typical = 5,
                            .weight = 0.7,
                            .seen_by_eye = true},
    [BP_LAMP_BLACKENED] = {.id = "blackened",
                           .words = "glass of %s blackened or lens dirty: light lost, readings "
                                    "good",
                           .scale = BP_SCALE_LINEAR,
                           .unit = BP_UNIT_FRACTION,
                           .lo = 0.2,
                           .hi = 0.9,
                           .typical = 0.5,
                           .weight = 0.5,
                           .seen_by_eye = true},
    {.id = NULL}};

const bp_kind bp_kind_lamp = {
    .id = "lamp",
    .words = "lamp",
    .note = "Filament lamp: current grows as voltage to the power 0.55 and light to 3.4, and the "
            "cold filament has a tenth of its hot "
            "resistance (Fink and Beaty, 11th edition). Terminals 1 feed and 2 ground.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .access = 4,
    .fit = 3,
    .price = 3,
};
