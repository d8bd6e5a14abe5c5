/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Battery: 12 V, six lead-acid cells, two posts.
 */
#include "circuits/kind.h"
#include "circuits/kinds/battery.h"

static const bp_pin_decl pins[] = {
    [BP_BATTERY_PIN_PLUS] = {.name = "+", .sort = BP_PIN_BOLTED, .words = "positive post"},
    [BP_BATTERY_PIN_MINUS] = {.name = "-", .sort = BP_PIN_BOLTED, .words = "negative post"},
    {0}};

static const bp_param_decl params[] = {
    [BP_BATTERY_CHARGED] =
        {.key = "charge",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_FRACTION,
         .def = 1.0,
         .lo = 0,
         .hi = 1,
         .tol = 0.1,
         .tol_sort = BP_TOL_ABSOLUTE,
         .words = "state of charge, rested",
         .source = "a battery taken as charged is known to about 10 %: common practice"},
    [BP_BATTERY_CAPACITY] = {.key = "capacity",
                             .type = BP_PARAM_QUANTITY,
                             .unit = BP_UNIT_AMPERE_HOUR,
                             .def = 60,
                             .lo = 1,
                             .hi = 400,
                             .tol = 0.1,
                             .tol_sort = BP_TOL_RELATIVE,
                             .words = "capacity over 20 hours",
                             .source = "common size for a light van: common practice"},
    [BP_BATTERY_CCA] =
        {.key = "cca",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_AMPERE,
         .def = 540,
         .lo = 20,
         .hi = 3000,
         .tol = 0.1,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "cold-cranking current by EN 50342-1: at least 7.5 V after 10 s at -18 °C",
         .source = "data-sheet typical of a 60 Ah battery (from memory)"},
    [BP_BATTERY_OHM] =
        {.key = "resistance",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_OHM,
         .def = BP_UNSET,
         .lo = 1e-5,
         .hi = 1,
         .tol = 0.15,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "internal resistance when full, at 20 °C, over seconds of load",
         .source = "when not given it follows from the cold-cranking current (EN 50342-1)"},
    {0}};

/* What modes of one place cannot set in two ways at once. */
enum { PATH = 1 };

static const bp_mode_decl modes[] = {
    [BP_BATTERY_CHARGE] = {.id = "charge",
                           .words = "%s run down, charge left",
                           .scope = BP_SCOPE_PART,
                           .scale = BP_SCALE_LINEAR,
                           .unit = BP_UNIT_FRACTION,
                           .lo = 0.0,
                           .hi = 0.8,
                           .typical = 0.3,
                           .weight = 3.0},
    [BP_BATTERY_WEAK_CELL] =
        {.id = "weak-cell",
         .words = "%s has a weak cell that collapses under load: plates still at work",
         .scope = BP_SCOPE_PART,
         .scale = BP_SCALE_LOG,
         .unit = BP_UNIT_FRACTION,
         .lo = 0.005,
         .hi = 0.5,
         .typical = 0.03,
         .weight = 0.6},
    [BP_BATTERY_RESISTANCE] = {.id = "resistance",
                               .sets = PATH,
                               .words = "%s old and sulphated: high internal resistance",
                               .scope = BP_SCOPE_PART,
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 0.005,
                               .hi = 1.0,
                               .typical = 0.03,
                               .weight = 0.8},
    [BP_BATTERY_SHORTED_CELL] = {.id = "shorted-cell",
                                 .words = "%s has a shorted cell",
                                 .scope = BP_SCOPE_PART,
                                 .weight = 0.3},
    [BP_BATTERY_OPEN] = {.id = "open",
                         .sets = PATH,
                         .words = "%s open inside: a link between cells has broken",
                         .scope = BP_SCOPE_PART,
                         .weight = 0.1,
                         .intermittent = true},
    {0}};

/* Ways begin and end here. */
static const bp_branch ways[] = {{.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_battery = {
    .id = "battery",
    .words = "battery",
    .note = "Six flooded lead-acid cells. Open-circuit voltage from charge and temperature, "
            "internal resistance from cold-cranking current, charge and temperature. The posts are "
            "bolted to their clamps, whose resistance is a fault of the post. A weak cell is given "
            "as the part of its plates that still works.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 2,
    .fit = 15,
    .price = 120,
};
