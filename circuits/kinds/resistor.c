/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Resistor: any fixed resistance.
 */
#include "circuits/kind.h"
#include "circuits/kinds/resistor.h"

static const bp_pin_decl pins[] = {[BP_RESISTOR_PIN_1] = {.name = "1", .sort = BP_PIN_IDEAL},
                                   [BP_RESISTOR_PIN_2] = {.name = "2", .sort = BP_PIN_IDEAL},
                                   {0}};

static const bp_param_decl params[] = {
    [BP_RESISTOR_RESISTANCE] = {.key = "resistance",
                                .type = BP_PARAM_QUANTITY,
                                .unit = BP_UNIT_OHM,
                                .def = BP_UNSET,
                                .required = true,
                                .lo = 1e-6,
                                .hi = 1e12,
                                .tol = 0.05,
                                .tol_sort = BP_TOL_STATED,
                                .words = "resistance",
                                .source = "spread: series E24 of IEC 60063 is +-5 %"},
    [BP_RESISTOR_TOLERANCE] = {.key = "tolerance",
                               .type = BP_PARAM_QUANTITY,
                               .unit = BP_UNIT_FRACTION,
                               .def = 0.05,
                               .lo = 0,
                               .hi = 0.9,
                               .words = "how far a good one may be off its resistance",
                               .source = "series E24 of IEC 60063"},
    [BP_RESISTOR_ALPHA] = {.key = "alpha",
                           .type = BP_PARAM_QUANTITY,
                           .unit = BP_UNIT_NONE,
                           .def = 0,
                           .lo = -0.01,
                           .hi = 0.02,
                           .words = "temperature coefficient per K, from 20 °C",
                           .source = "a resistor alloy has next to none; copper 0.00393 (IACS)"},
    {0}};

/* What modes of one place cannot set in two ways at once. */
enum { BODY = 1 };

static const bp_mode_decl modes[] = {
    [BP_RESISTOR_OPEN] = {.id = "open",
                          .sets = BODY,
                          .words = "%s open",
                          .scope = BP_SCOPE_PART,
                          .weight = 1.0,
                          .intermittent = true},
    [BP_RESISTOR_SHORT] =
        {.id = "short", .sets = BODY, .words = "%s shorted", .scope = BP_SCOPE_PART, .weight = 0.3},
    [BP_RESISTOR_DRIFTED] = {.id = "drifted",
                             .sets = BODY,
                             .words = "%s drifted from its resistance",
                             .scope = BP_SCOPE_PART,
                             .scale = BP_SCALE_LOG,
                             .unit = BP_UNIT_FRACTION,
                             .lo = 0.1,
                             .hi = 10.0,
                             .typical = 1.5,
                             .weight = 0.5},
    {0}};

static const bp_branch ways[] = {{BP_BRANCH_DROPS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_resistor = {
    .id = "resistor",
    .words = "resistor",
    .note = "A fixed resistance between two terminals: series resistors, ballast, heater elements, "
            "textbook loads. Drifted is given as what its resistance has become: 150 % is half as "
            "much again.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 10,
    .price = 10,
};
