/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thermal switch: a bimetal snap disc that closes or opens as it warms, with hysteresis.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/thermal_switch.h"

static const bp_pin_decl pins[] = {[BP_THERMAL_SWITCH_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG},
                                   [BP_THERMAL_SWITCH_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG},
                                   {0}};

static const char *const feels[] = {"engine", "ambient", NULL};

static const bp_param_decl params[] = {
    [BP_THERMAL_SWITCH_CLOSES] =
        {.key = "closes",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_CELSIUS,
         .def = 95,
         .lo = -60,
         .hi = 300,
         .tol = 3,
         .tol_sort = BP_TOL_ABSOLUTE,
         .words = "temperature at which it closes",
         .source = "data-sheet typical of radiator fan switches, 95 +-3 °C (from memory)"},
    [BP_THERMAL_SWITCH_OPENS] =
        {.key = "opens",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_CELSIUS,
         .def = 88,
         .lo = -60,
         .hi = 300,
         .tol = 3,
         .tol_sort = BP_TOL_ABSOLUTE,
         .words = "temperature at which it opens; above `closes` for one that opens as it warms",
         .source = "data-sheet typical of radiator fan switches, 88 +-3 °C (from memory)"},
    [BP_THERMAL_SWITCH_FEELS] = {.key = "feels",
                                 .type = BP_PARAM_WORD,
                                 .def = BP_THERMAL_SWITCH_FEELS_ENGINE,
                                 .choices = feels,
                                 .words = "which temperature it feels: engine or ambient",
                                 .source = "common practice"},
    [BP_THERMAL_SWITCH_OHM] = {.key = "resistance",
                               .type = BP_PARAM_QUANTITY,
                               .unit = BP_UNIT_OHM,
                               .def = 10e-3,
                               .lo = 1e-6,
                               .hi = 10,
                               .tol = 0.6,
                               .tol_sort = BP_TOL_RELATIVE,
                               .words = "resistance of the closed contact",
                               .source = "data-sheet typical, new (from memory)"},
    {0}};

/* What modes of one place cannot set in two ways at once. */
enum { PLACE = 1 };

static const bp_mode_decl modes[] = {
    [BP_THERMAL_SWITCH_STUCK_OPEN] = {.id = "stuck-open",
                                      .sets = PLACE,
                                      .words = "%s never closes",
                                      .scope = BP_SCOPE_PART,
                                      .weight = 1.0,
                                      .intermittent = true},
    [BP_THERMAL_SWITCH_STUCK_CLOSED] = {.id = "stuck-closed",
                                        .sets = PLACE,
                                        .words = "%s never opens",
                                        .scope = BP_SCOPE_PART,
                                        .weight = 0.5,
                                        .intermittent = true},
    [BP_THERMAL_SWITCH_RESISTANCE] = {.id = "resistance",
                                      .words = "%s contact burnt: high resistance",
                                      .scope = BP_SCOPE_PART,
                                      .scale = BP_SCALE_LOG,
                                      .unit = BP_UNIT_OHM,
                                      .lo = 0.05,
                                      .hi = 1000.0,
                                      .typical = 1.0,
                                      .weight = 0.7,
                                      .intermittent = true},
    [BP_THERMAL_SWITCH_SHIFTED] = {.id = "shifted",
                                   .words = "%s switches at the wrong temperature",
                                   .scope = BP_SCOPE_PART,
                                   .scale = BP_SCALE_LINEAR,
                                   .unit = BP_UNIT_CELSIUS,
                                   .lo = 0.0,
                                   .hi = 150.0,
                                   .typical = 110.0,
                                   .weight = 0.3},
    {0}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_THERMAL_SWITCH_CLOSES] == part->param[BP_THERMAL_SWITCH_OPENS])
        bp_part_mistake(part, report,
                        "closes and opens at one temperature: a thermal switch needs a few degrees "
                        "between them, like closes: 95 degC, opens: 88 degC");
}

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_THERMAL_SWITCH_PIN_1, BP_THERMAL_SWITCH_PIN_2, "while hot"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_thermal_switch = {
    .id = "thermal-switch",
    .words = "thermal switch",
    .note = "A snap disc. With `closes` above `opens` it closes as it warms (a fan switch), else "
            "it opens as it warms. Between the two it stays as it was. Shifted is given as the "
            "temperature at which it now snaps while warming.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 25,
    .price = 25,
    .check = check,
};
