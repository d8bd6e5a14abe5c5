/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Three-wire Hall sensor: a switch without contacts that pulls its output to ground.
 */
#include "circuits/kinds/hall_sensor.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_HALL_PIN_FEED] = {.name = "+", .sort = BP_PIN_PLUG, .words = "reference feed"},
    [BP_HALL_PIN_OUT] = {.name = "out", .sort = BP_PIN_PLUG, .words = "signal"},
    [BP_HALL_PIN_GROUND] = {.name = "-", .sort = BP_PIN_PLUG, .words = "ground"},
    {.name = NULL}};

static const char *const settings[] = {"high", "low", "turning", NULL};

static const bp_param_decl params[] = {
    [BP_HALL_TEETH] = {.key = "teeth",
                       .type = BP_PARAM_COUNT,
                       .def = 4,
                       .lo = 1,
                       .hi = 400,
                       .words = "places on the wheel, the empty ones counted",
                       .source = "4 in a distributor of four cylinders, up to 60 on a crankshaft: "
                                 "common practice"},
    [BP_HALL_MISSING] = {.key = "missing",
                         .type = BP_PARAM_COUNT,
                         .def = 0,
                         .lo = 0,
                         .hi = 4,
                         .words = "teeth left out side by side, as the mark of one turn",
                         .source = "common practice"},
    [BP_HALL_TURNS] = {.key = "turns",
                       .unit = BP_UNIT_NONE,
                       .def = 0.5,
                       .lo = 0.05,
                       .hi = 20,
                       .words = "turns of the wheel a turn of the crankshaft",
                       .source = "1 on the crankshaft, 0.5 on the camshaft or distributor"},
    [BP_HALL_LOW_SHARE] = {.key = "low-share",
                           .unit = BP_UNIT_FRACTION,
                           .def = 0.5,
                           .lo = 0.05,
                           .hi = 0.95,
                           .tol = 0.10,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "share of a pitch for which the output is low",
                           .source = "tooth as wide as the gap beside it: common practice"},
    [BP_HALL_PITCH] = {.key = "pitch",
                       .unit = BP_UNIT_METRE,
                       .def = 0.012,
                       .lo = 1e-3,
                       .hi = 0.2,
                       .words = "from tooth to tooth along the rim; the wider, the less the gap "
                                "matters",
                       .source = "geometry of the wheel"},
    [BP_HALL_ON_RESISTANCE] = {.key = "on-resistance",
                               .unit = BP_UNIT_OHM,
                               .def = 20,
                               .lo = 0.1,
                               .hi = 500,
                               .tol = 0.4,
                               .tol_sort = BP_TOL_RELATIVE,
                               .words = "resistance from out to - while low",
                               .source = "at most 0.4 V at 20 mA: data-sheet typical, from memory"},
    [BP_HALL_LEAKAGE] = {.key = "leakage",
                         .unit = BP_UNIT_OHM,
                         .def = 1.2e6,
                         .lo = 1e4,
                         .hi = 1e9,
                         .words = "resistance from out to - while high",
                         .source = "10 uA at 12 V: data-sheet typical, from memory"},
    [BP_HALL_DRAW] = {.key = "draw",
                      .unit = BP_UNIT_AMPERE,
                      .def = 8e-3,
                      .lo = 5e-4,
                      .hi = 0.1,
                      .tol = 0.3,
                      .tol_sort = BP_TOL_RELATIVE,
                      .words = "current that it takes at 8 V",
                      .source = "5 to 12 mA: data-sheet typical, from memory"},
    [BP_HALL_WORKS_FROM] = {.key = "works-from",
                            .unit = BP_UNIT_VOLT,
                            .def = 4,
                            .lo = 1.5,
                            .hi = 10,
                            .tol = 0.1,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "least voltage between + and - for it to switch",
                            .source = "3.8 to 4.5 V: data-sheet typical, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { OUTPUT = 1, GAP = 2 };

static const bp_mode_decl modes[] = {
    [BP_HALL_STUCK_OPEN] = {.id = "stuck-open",
                            .sets = OUTPUT,
                            .words = "%s never pulls its output down",
                            .weight = 2,
                            .intermittent = true},
    [BP_HALL_STUCK_LOW] = {.id = "stuck-low",
                           .sets = OUTPUT,
                           .words = "output of %s shorted to its ground",
                           .scale = BP_SCALE_LOG,
                           .unit = BP_UNIT_OHM,
                           .lo = 1,
                           .hi = 500,
                           .typical = 20,
                           .weight = 1,
                           .intermittent = true},
    [BP_HALL_LEAKY] = {.id = "leaky",
                       .words = "output of %s leaks while it should be open",
                       .scale = BP_SCALE_LOG,
                       .unit = BP_UNIT_OHM,
                       .lo = 500,
                       .hi = 5e4,
                       .typical = 2000,
                       .weight = 0.4},
    [BP_HALL_WEAK] = {.id = "weak",
                      .words = "output of %s weak: high resistance while low",
                      .scale = BP_SCALE_LOG,
                      .unit = BP_UNIT_OHM,
                      .lo = 100,
                      .hi = 1e4,
                      .typical = 1500,
                      .weight = 0.4},
    [BP_HALL_FEED_OPEN] = {.id = "feed-open",
                           .words = "feed of %s open inside",
                           .weight = 0.5,
                           .intermittent = true},
    [BP_HALL_FEED_SHORTED] = {.id = "feed-shorted",
                              .words = "feed of %s shorted to its ground inside: it pulls the "
                                       "reference down for all on it",
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.5,
                              .hi = 200,
                              .typical = 3,
                              .weight = 0.7,
                              .intermittent = true},
    [BP_HALL_GROUND_OPEN] = {.id = "ground-open",
                             .words = "ground of %s open inside",
                             .weight = 0.5,
                             .intermittent = true},
    [BP_HALL_GAP_WIDE] = {.id = "gap-wide",
                          .sets = GAP,
                          .words = "air gap of %s wider than it should be, by",
                          .scale = BP_SCALE_LINEAR,
                          .unit = BP_UNIT_METRE,
                          .lo = 2e-4,
                          .hi = 5e-3,
                          .typical = 1.6e-3,
                          .weight = 1.5},
    [BP_HALL_GAP_NARROW] =
        {.id = "gap-narrow",
         .sets = GAP,
         .words = "air gap of %s narrower than it should be, by",
         .scale = BP_SCALE_LINEAR,
         .unit = BP_UNIT_METRE,
         .lo = 1e-4,
         .hi = 2e-3,
         .typical = 5e-4,
         .weight = 0.4,
         .unseen = "the output stays low for longer: duty or an oscilloscope shows it"},
    [BP_HALL_TOOTH_DAMAGED] = {.id = "tooth-damaged",
                               .words = "a tooth or vane of the wheel of %s broken off",
                               .weight = 0.5,
                               .seen_by_eye = true},
    {.id = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_LOAD, BP_HALL_PIN_FEED, BP_HALL_PIN_GROUND, NULL},
    {BP_BRANCH_SWITCHED, BP_HALL_PIN_OUT, BP_HALL_PIN_GROUND, "while a tooth stands before it"},
    {.sort = BP_BRANCH_NONE}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_HALL_MISSING] >= part->param[BP_HALL_TEETH])
        bp_part_mistake(part, report,
                        "more teeth are missing than the wheel has: expected like teeth: 36, "
                        "missing: 1");
}

const bp_kind bp_kind_hall_sensor = {
    .id = "hall-sensor",
    .words = "Hall sensor",
    .note = "Three wires: a reference feed, ground, and an output that it pulls to ground while a "
            "tooth stands before it; the module pulls the output up, so with the plug off the wire "
            "is high. The setting says how the wheel stands. While it is turning, steady readings "
            "are those between two teeth, output high; a run over time, duty and hertz see it "
            "switch.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .rhythm = "turning",
    .modes = modes,
    .ways = ways,
    .access = 8,
    .fit = 20,
    .price = 45,
    .check = check,
};
