/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Source: an ideal voltage with an optional resistance, for textbook circuits and bench supplies.
 */
#include "circuits/kind.h"
#include "circuits/kinds/source.h"

static const bp_pin_decl pins[] = {
    [BP_SOURCE_PIN_PLUS] = {.name = "+", .sort = BP_PIN_IDEAL, .words = "positive terminal"},
    [BP_SOURCE_PIN_MINUS] = {.name = "-", .sort = BP_PIN_IDEAL, .words = "negative terminal"},
    {0}};

static const bp_param_decl params[] = {
    [BP_SOURCE_EMF] = {.key = "emf",
                       .type = BP_PARAM_QUANTITY,
                       .unit = BP_UNIT_VOLT,
                       .def = BP_UNSET,
                       .required = true,
                       .lo = -1000,
                       .hi = 1000,
                       .words = "voltage without load",
                       .source = "as the circuit states"},
    [BP_SOURCE_OHM] = {.key = "resistance",
                       .type = BP_PARAM_QUANTITY,
                       .unit = BP_UNIT_OHM,
                       .def = 0,
                       .lo = 0,
                       .hi = 1e9,
                       .words = "internal resistance",
                       .source = "an ideal source has none: textbook convention"},
    {0}};

static const bp_mode_decl modes[] = {
    [BP_SOURCE_OPEN] = {.id = "open",
                        .words = "%s open inside",
                        .scope = BP_SCOPE_PART,
                        .weight = 0.3,
                        .intermittent = true},
    [BP_SOURCE_LOW] = {.id = "low",
                       .words = "%s low: part of its voltage is left",
                       .scope = BP_SCOPE_PART,
                       .scale = BP_SCALE_LINEAR,
                       .unit = BP_UNIT_FRACTION,
                       .lo = 0.0,
                       .hi = 0.95,
                       .typical = 0.7,
                       .weight = 0.5},
    [BP_SOURCE_RESISTANCE] = {.id = "resistance",
                              .words = "%s high internal resistance",
                              .scope = BP_SCOPE_PART,
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.05,
                              .hi = 1000.0,
                              .typical = 1.0,
                              .weight = 0.5},
    {0}};

/* Ways begin and end here. */
static const bp_branch ways[] = {{.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_source = {
    .id = "source",
    .words = "voltage source",
    .note = "A voltage with an internal resistance in series, for bench supplies and circuits out "
            "of textbooks. Its open-circuit voltage is the same at every temperature.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 1,
    .fit = 10,
    .price = 50,
};
