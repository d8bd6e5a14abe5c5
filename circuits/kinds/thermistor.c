/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thermistor: a temperature sensor whose resistance falls as it warms.
 */
#include "circuits/kinds/thermistor.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_THERMISTOR_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "signal"},
    [BP_THERMISTOR_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground of the sensor"},
    {.name = NULL}};

static const char *const curves[] = {"coolant", "air", NULL};
static const char *const feels[] = {"engine", "ambient", NULL};

static const bp_param_decl params[] = {
    [BP_THERMISTOR_CURVE] = {.key = "curve",
                             .type = BP_PARAM_WORD,
                             .def = BP_THERMISTOR_COOLANT,
                             .choices = curves,
                             .words = "coolant: 5896 ohm at 0 °C, 2500 at 20, 186 at 100; air: "
                                      "32128 ohm at 0 °C, 9814 at 25, 3542 at 50",
                             .source = "coolant: from memory; air: table of a data sheet"},
    [BP_THERMISTOR_SCALE] = {.key = "scale",
                             .unit = BP_UNIT_FRACTION,
                             .def = 1,
                             .lo = 1e-3,
                             .hi = 1e3,
                             .tol = 0.05,
                             .tol_sort = BP_TOL_RELATIVE,
                             .words = "its resistance as a share of the curve's",
                             .source = "+-5 %: data-sheet typical, from memory"},
    [BP_THERMISTOR_FEELS] = {.key = "feels",
                             .type = BP_PARAM_WORD,
                             .def = BP_THERMISTOR_FEELS_ENGINE,
                             .choices = feels,
                             .words = "which temperature it feels: engine or ambient",
                             .source = "common practice"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { BODY = 1 };

static const bp_mode_decl modes[] = {
    [BP_THERMISTOR_OPEN] =
        {.id = "open", .sets = BODY, .words = "%s open", .weight = 1, .intermittent = true},
    [BP_THERMISTOR_SHORT] = {.id = "short", .sets = BODY, .words = "%s shorted", .weight = 0.4},
    [BP_THERMISTOR_DRIFTED] = {.id = "drifted",
                               .sets = BODY,
                               .words = "%s drifted: a wrong temperature",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_FRACTION,
                               .lo = 0.1,
                               .hi = 10,
                               .typical = 2.5,
                               .weight = 0.7},
    [BP_THERMISTOR_GROUND_LEAK] = {.id = "ground-leak",
                                   .words = "%s leaks to its housing: wet",
                                   .scale = BP_SCALE_LOG,
                                   .unit = BP_UNIT_OHM,
                                   .lo = 10,
                                   .hi = 1e4,
                                   .typical = 300,
                                   .weight = 0.3,
                                   .intermittent = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_DROPS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_thermistor = {
    .id = "thermistor",
    .words = "thermistor",
    .note =
        "A temperature sensor of two wires: many ohms when cold, few when hot. With the pull-up "
        "of a module input it makes a voltage that falls as it warms. Drifted is given as what "
        "its resistance has become: 250 % reads too cold.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 20,
    .price = 25,
};
