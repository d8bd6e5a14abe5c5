/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A copper winding of any sort.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/coil.h"

static const bp_pin_decl pins[] = {
    [BP_COIL_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_COIL_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground side"},
    {.name = NULL}};

static const char *const places[] = {"cabin", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_COIL_WINDING] = {.key = "resistance",
                         .unit = BP_UNIT_OHM,
                         .def = BP_UNSET,
                         .required = true,
                         .lo = 0.01,
                         .hi = 1e5,
                         .tol = 0.10,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "resistance at 20 °C",
                         .source = "10 % for copper windings: data-sheet typical"},
    [BP_COIL_INDUCTANCE] = {.key = "inductance",
                            .unit = BP_UNIT_HENRY,
                            .def = BP_UNSET,
                            .lo = 1e-6,
                            .hi = 100,
                            .words = "inductance; steady readings do not depend on it",
                            .source = "no default"},
    [BP_COIL_VOLTS] = {.key = "volts",
                       .unit = BP_UNIT_VOLT,
                       .def = 12,
                       .lo = 1,
                       .hi = 50,
                       .words = "rated voltage",
                       .source = "12 V supply"},
    [BP_COIL_PLACE] = {.key = "place",
                       .type = BP_PARAM_WORD,
                       .def = 0,
                       .choices = places,
                       .words = "where it sits, for its temperature: cabin or engine",
                       .source = "common practice"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { PATH = 1 };

static const bp_mode_decl modes[] = {
    [BP_COIL_OPEN] = {.id = "open",
                      .sets = PATH,
                      .words = "winding of %s open",
                      .weight = 2,
                      .intermittent = true},
    [BP_COIL_SHORTED_TURNS] = {.id = "shorted-turns",
                               .words = "turns of %s shorted",
                               .scale = BP_SCALE_LINEAR,
                               .unit = BP_UNIT_FRACTION,
                               .lo = 0.1,
                               .hi = 0.98,
                               .typical = 0.5,
                               .weight = 0.7},
    [BP_COIL_RESISTANCE] = {.id = "resistance",
                            .sets = PATH,
                            .words = "high resistance inside %s",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 1,
                            .hi = 1e4,
                            .typical = 50,
                            .weight = 0.5,
                            .intermittent = true},
    [BP_COIL_GROUND_LEAK] = {.id = "ground-leak",
                             .words = "winding of %s leaks to ground",
                             .scale = BP_SCALE_LOG,
                             .unit = BP_UNIT_OHM,
                             .lo = 0.1,
                             .hi = 1e4,
                             .typical = 10,
                             .weight = 0.4},
    {.id = NULL}};

const bp_kind bp_kind_coil = {
    .id = "coil",
    .words = "coil",
    .note = "Copper winding; its resistance follows temperature (0.00393/K at 20 °C, IACS copper). "
            "Terminals 1 feed and 2 ground.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .access = 5,
    .fit = 15,
    .price = 40,
};
