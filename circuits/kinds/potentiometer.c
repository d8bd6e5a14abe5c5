/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Potentiometer: a track with a wiper, as in pedals, throttles and levers.
 */
#include "circuits/kinds/potentiometer.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_POT_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "supply end of the track"},
    [BP_POT_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "wiper: signal"},
    [BP_POT_PIN_3] = {.name = "3", .sort = BP_PIN_PLUG, .words = "ground end of the track"},
    {.name = NULL}};

static const char *const settings[] = {"rest", "quarter", "half", "three-quarters", "full", NULL};

static const bp_param_decl params[] = {
    [BP_POT_RESISTANCE] = {.key = "resistance",
                           .unit = BP_UNIT_OHM,
                           .def = 5000,
                           .lo = 10,
                           .hi = 1e6,
                           .tol = 0.2,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "resistance of the whole track",
                           .source = "1 to 10 kohm, +-20 %: data-sheet typical of throttle "
                                     "sensors, from memory"},
    [BP_POT_AT_REST] = {.key = "at-rest",
                        .unit = BP_UNIT_FRACTION,
                        .def = 0.1,
                        .lo = 0.01,
                        .hi = 0.99,
                        .tol = 0.02,
                        .tol_sort = BP_TOL_ABSOLUTE,
                        .words = "share of the track between wiper and pin 3 at rest",
                        .source = "0.5 V of 5 V at rest: common practice"},
    [BP_POT_AT_FULL] = {.key = "at-full",
                        .unit = BP_UNIT_FRACTION,
                        .def = 0.9,
                        .lo = 0.01,
                        .hi = 0.99,
                        .tol = 0.02,
                        .tol_sort = BP_TOL_ABSOLUTE,
                        .words = "the same at full travel",
                        .source = "4.5 V of 5 V at full travel: common practice"},
    [BP_POT_WIPER] = {.key = "wiper",
                      .unit = BP_UNIT_OHM,
                      .def = 500,
                      .lo = 0.01,
                      .hi = 1e5,
                      .tol = 0.6,
                      .tol_sort = BP_TOL_RELATIVE,
                      .words = "resistance from the track to pin 2",
                      .source = "contact and protective resistor, 0.2 to 1.5 kohm: data-sheet "
                                "typical of throttle sensors, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { WIPER = 1 };

static const bp_mode_decl modes[] = {
    [BP_POT_WIPER_OPEN] = {.id = "wiper-open",
                           .sets = WIPER,
                           .words = "wiper of %s makes no contact",
                           .weight = 1,
                           .intermittent = true},
    [BP_POT_WIPER_RESISTANCE] = {.id = "wiper-resistance",
                                 .sets = WIPER,
                                 .words = "wiper of %s worn: high resistance",
                                 .scale = BP_SCALE_LOG,
                                 .unit = BP_UNIT_OHM,
                                 .lo = 1e3,
                                 .hi = 1e7,
                                 .typical = 1e6,
                                 .weight = 0.8,
                                 .intermittent = true},
    [BP_POT_DEAD_SPOT] = {.id = "dead-spot",
                          .words = "track of %s worn through near rest: no signal there",
                          .weight = 1,
                          .intermittent = true},
    [BP_POT_TRACK_OPEN] = {.id = "track-open",
                           .words = "track of %s broken in the middle",
                           .weight = 0.4,
                           .intermittent = true},
    [BP_POT_SHIFTED] = {.id = "shifted",
                        .words = "%s out of adjustment: reads further than it stands",
                        .scale = BP_SCALE_LINEAR,
                        .unit = BP_UNIT_FRACTION,
                        .lo = 0.02,
                        .hi = 0.5,
                        .typical = 0.2,
                        .weight = 0.4},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_POT_AT_REST] == part->param[BP_POT_AT_FULL])
        bp_part_mistake(part, report,
                        "at-rest and at-full are the same: the wiper would never move, give two "
                        "shares like at-rest: 10 %%, at-full: 90 %%");
}

static const bp_branch ways[] = {{BP_BRANCH_DROPS, BP_POT_PIN_1, BP_POT_PIN_3, NULL},
                                 {BP_BRANCH_DROPS, BP_POT_PIN_1, BP_POT_PIN_2, NULL},
                                 {BP_BRANCH_DROPS, BP_POT_PIN_2, BP_POT_PIN_3, NULL},
                                 {BP_BRANCH_SIGNAL_SOURCE, BP_POT_PIN_2, BP_POT_PIN_2, NULL},
                                 {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_potentiometer = {
    .id = "potentiometer",
    .words = "potentiometer",
    .note = "A track between supply (1) and ground (3) and a wiper (2) that takes a share of it: "
            "pedal, throttle, flap, lever. Its ground end open lifts the signal, its supply end "
            "open drops it.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 25,
    .price = 60,
    .check = check,
};
