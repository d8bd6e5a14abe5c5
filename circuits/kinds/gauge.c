/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gauge with two crossed coils, for a sender of variable resistance.
 */
#include "circuits/kinds/gauge.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_GAUGE_PIN_15] = {.name = "15", .sort = BP_PIN_PLUG, .words = "switched feed"},
    [BP_GAUGE_PIN_G] = {.name = "G", .sort = BP_PIN_PLUG, .words = "to the sender"},
    [BP_GAUGE_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_GAUGE_FEED_COIL] = {.key = "feed-coil",
                            .unit = BP_UNIT_OHM,
                            .def = 90,
                            .lo = 1,
                            .hi = 1e5,
                            .tol = 0.05,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "coil from 15 to G",
                            .source = "about 100 ohm a coil: from memory"},
    [BP_GAUGE_GROUND_COIL] = {.key = "ground-coil",
                              .unit = BP_UNIT_OHM,
                              .def = 90,
                              .lo = 1,
                              .hi = 1e5,
                              .tol = 0.05,
                              .tol_sort = BP_TOL_RELATIVE,
                              .words = "coil from G to 31, beside the sender",
                              .source = "about 100 ohm a coil: from memory"},
    [BP_GAUGE_EMPTY] = {.key = "empty",
                        .unit = BP_UNIT_OHM,
                        .def = 240,
                        .lo = 0.5,
                        .hi = 1e5,
                        .words = "the sender's resistance at which it reads empty",
                        .source = "240 to 33 ohm is a common range: from memory"},
    [BP_GAUGE_FULL] = {.key = "full",
                       .unit = BP_UNIT_OHM,
                       .def = 33,
                       .lo = 0.5,
                       .hi = 1e5,
                       .words = "the sender's resistance at which it reads full",
                       .source = "240 to 33 ohm is a common range: from memory"},
    {.key = NULL}};

static const bp_mode_decl modes[] = {
    [BP_GAUGE_FEED_COIL_OPEN] = {.id = "feed-coil-open",
                                 .words = "feed coil of %s open",
                                 .weight = 0.6,
                                 .intermittent = true},
    [BP_GAUGE_GROUND_COIL_OPEN] = {.id = "ground-coil-open",
                                   .words = "ground coil of %s open",
                                   .weight = 0.6,
                                   .intermittent = true},
    [BP_GAUGE_STUCK] = {.id = "stuck",
                        .words = "needle of %s stuck",
                        .scale = BP_SCALE_LINEAR,
                        .unit = BP_UNIT_FRACTION,
                        .lo = 0,
                        .hi = 1,
                        .typical = 0.5,
                        .weight = 0.4,
                        .intermittent = true},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_GAUGE_EMPTY] == part->param[BP_GAUGE_FULL])
        bp_part_mistake(part, report,
                        "empty and full are the same resistance: give those of its sender, like "
                        "empty: 240 ohm, full: 33 ohm");
}

static const bp_branch ways[] = {
    {BP_BRANCH_LOAD, BP_GAUGE_PIN_15, BP_GAUGE_PIN_31, NULL},
    {BP_BRANCH_SIGNAL, BP_GAUGE_PIN_G, BP_GAUGE_PIN_31, "the sender's terminal of"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_gauge = {
    .id = "gauge",
    .words = "gauge",
    .note = "Two crossed coils, one from the feed (15) to the sender (G), one from there to ground "
            "(31), beside the sender. The needle follows the ratio of their currents, not the "
            "feed's voltage. Stuck is given as the reading at which the needle stays.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 30,
    .fit = 45,
    .price = 90,
    .check = check,
};
