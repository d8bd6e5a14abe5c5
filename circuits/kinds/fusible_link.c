/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fusible link: a short thin wire in a feed, in insulation that does not burn.
 */
#include "circuits/kind.h"
#include "circuits/kinds/fusible_link.h"

static const bp_pin_decl pins[] = {
    [BP_LINK_PIN_1] = {.name = "1", .sort = BP_PIN_BOLTED, .words = "feed side"},
    [BP_LINK_PIN_2] = {.name = "2", .sort = BP_PIN_BOLTED, .words = "load side"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_LINK_SIZE] = {.key = "size",
                      .unit = BP_UNIT_AREA,
                      .def = BP_UNSET,
                      .required = true,
                      .lo = 0.1e-6,
                      .hi = 25e-6,
                      .tol = 0.05,
                      .tol_sort = BP_TOL_RELATIVE,
                      .words = "cross-section of its copper; melting current and times follow "
                               "from it",
                      .source = "four gauge numbers thinner than the wire it guards: common "
                                "practice; spread between makes from memory"},
    [BP_LINK_LENGTH] = {.key = "length",
                        .unit = BP_UNIT_METRE,
                        .def = 0.2,
                        .lo = 0.05,
                        .hi = 1,
                        .tol = 0.1,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "length of the link",
                        .source = "about 0.2 m, at most 0.25 m: common practice"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { WIRE = 1 };

static const bp_mode_decl modes[] = {
    [BP_LINK_MELTED] = {.id = "melted",
                        .sets = WIRE,
                        .words = "%s melted inside its insulation: it stretches when pulled",
                        .weight = 1.5},
    [BP_LINK_RESISTANCE] = {.id = "resistance",
                            .sets = WIRE,
                            .words = "strands of %s corroded through: high resistance",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 0.01,
                            .hi = 100,
                            .typical = 0.3,
                            .weight = 0.7,
                            .intermittent = true},
    [BP_LINK_WRONG_SIZE] = {.id = "wrong-size",
                            .words = "wire of another size put in for %s",
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_AREA,
                            .lo = 0.2e-6,
                            .hi = 10e-6,
                            .typical = 0.3e-6,
                            .weight = 0.3,
                            .seen_by_eye = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_GUARDS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_fusible_link = {
    .id = "fusible-link",
    .words = "fusible link",
    .note = "A thin copper wire that melts before the one it guards: by Preece's law it carries "
            "80 A times the diameter in mm to the power 1.5 for ever, and a dead short melts it "
            "by the equation of Onderdonk.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 20,
    .price = 6,
};
