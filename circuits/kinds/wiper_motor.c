/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two-speed wiper motor with its park switch.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/wiper_motor.h"

static const bp_pin_decl pins[] = {
    [BP_WIPER_PIN_53] = {.name = "53", .sort = BP_PIN_PLUG, .words = "slow brush"},
    [BP_WIPER_PIN_53B] = {.name = "53b",
                          .sort = BP_PIN_PLUG,
                          .optional = true,
                          .words = "fast brush"},
    [BP_WIPER_PIN_53A] = {.name = "53a", .sort = BP_PIN_PLUG, .words = "feed of the park switch"},
    [BP_WIPER_PIN_53E] = {.name = "53e",
                          .sort = BP_PIN_PLUG,
                          .words = "park switch: feed while sweeping, ground when parked"},
    [BP_WIPER_PIN_31] = {.name = "31", .sort = BP_PIN_PLUG, .words = "ground"},
    {.name = NULL}};

static const char *const settings[] = {"parked", "sweeping", NULL};
static const char *const screens[] = {"wet", "dry", "ice", NULL};
static const char *const places[] = {"cabin", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_WIPER_CURRENT] = {.key = "current",
                          .unit = BP_UNIT_AMPERE,
                          .def = 4,
                          .lo = 0.5,
                          .hi = 15,
                          .tol = 0.15,
                          .tol_sort = BP_TOL_RELATIVE,
                          .words = "current of the slow speed on a wet screen at the rated voltage",
                          .source = "3 to 5 A: data-sheet typical of front wipers, from memory"},
    [BP_WIPER_VOLTS] = {.key = "volts",
                        .unit = BP_UNIT_VOLT,
                        .def = 13.5,
                        .lo = 6,
                        .hi = 30,
                        .words = "voltage at which the current is stated",
                        .source = "13.5 V is the usual test voltage of 12 V motors: data-sheet "
                                  "typical"},
    [BP_WIPER_STALL] = {.key = "stall",
                        .unit = BP_UNIT_AMPERE,
                        .def = 28,
                        .lo = 2,
                        .hi = 100,
                        .tol = 0.15,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "current of the slow brush at the rated voltage when held still",
                        .source = "20 to 35 A: data-sheet typical, from memory"},
    [BP_WIPER_FAST] = {.key = "fast",
                       .unit = BP_UNIT_NONE,
                       .def = 1.45,
                       .lo = 1.1,
                       .hi = 2,
                       .words = "fast speed over slow speed",
                       .source = "45 and 65 wipes a minute: the spread of at least 15 a minute of "
                                 "SAE J903, from memory"},
    [BP_WIPER_PARK_CONTACT] = {.key = "park-contact",
                               .unit = BP_UNIT_OHM,
                               .def = 0.01,
                               .lo = 1e-3,
                               .hi = 0.2,
                               .tol = 0.6,
                               .tol_sort = BP_TOL_RELATIVE,
                               .words = "resistance of a closed park contact",
                               .source = "sliding contact on a cam disc: from memory"},
    [BP_WIPER_PLACE] = {.key = "place",
                        .type = BP_PARAM_WORD,
                        .def = 0,
                        .choices = places,
                        .words =
                            "where it sits, for the temperature of its windings: cabin or engine",
                        .source = "common practice: under the cowl"},
    [BP_WIPER_SCREEN] = {.key = "screen",
                         .type = BP_PARAM_WORD,
                         .def = BP_WIPER_WET,
                         .choices = screens,
                         .words = "what the blades rub on: wet, dry or ice",
                         .source =
                             "rubber on wet glass 0.1 to 0.2, on dry glass two to three times "
                             "as much: from memory"},
    [BP_WIPER_STROKES] = {.key = "wipes",
                          .unit = BP_UNIT_HERTZ,
                          .def = 0.75,
                          .lo = 0.2,
                          .hi = 3,
                          .words = "turns of the crank in a second at the slow speed",
                          .source = "45 wipes a minute: the least of SAE J903 at the high speed, "
                                    "usual for the low one, from memory"},
    [BP_WIPER_INERTIA] = {.key = "inertia",
                          .unit = BP_UNIT_SECOND,
                          .def = 0.3,
                          .lo = 0.01,
                          .hi = 5,
                          .tol = 0.3,
                          .tol_sort = BP_TOL_RELATIVE,
                          .words = "time in which the rated torque alone brings it to its slow "
                                   "speed",
                          .source = "armature of 1.2e-4 kg m2 at 2600 rev/min and 0.11 N m: from "
                                    "memory"},
    [BP_WIPER_PARK_ZONE] = {.key = "park-zone",
                            .unit = BP_UNIT_FRACTION,
                            .def = 0.07,
                            .lo = 0.01,
                            .hi = 0.4,
                            .words = "share of a turn for which the cam joins 53e to ground",
                            .source = "some 25 degrees: from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { LOAD = 1, PARK = 2, PARK_STICKS = 4, BRAKE = 8, BRAKE_STICKS = 16 };

static const bp_mode_decl modes[] = {
    [BP_WIPER_SLOW_BRUSH_OPEN] = {.id = "slow-brush-open",
                                  .words = "slow brush of %s open",
                                  .weight = 1.5,
                                  .intermittent = true},
    [BP_WIPER_FAST_BRUSH_OPEN] = {.id = "fast-brush-open",
                                  .words = "fast brush of %s open",
                                  .weight = 1.5,
                                  .intermittent = true},
    [BP_WIPER_COMMON_BRUSH_OPEN] = {.id = "common-brush-open",
                                    .words = "common brush of %s open",
                                    .weight = 1,
                                    .intermittent = true},
    [BP_WIPER_WORN_BRUSHES] = {.id = "worn-brushes",
                               .words = "common brush of %s worn or commutator dirty",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 0.1,
                               .hi = 20,
                               .typical = 1,
                               .weight = 1.5,
                               .intermittent = true},
    [BP_WIPER_SHORTED_TURNS] = {.id = "shorted-turns",
                                .words = "turns of the armature of %s shorted",
                                .scale = BP_SCALE_LOG,
                                .unit = BP_UNIT_FRACTION,
                                .lo = 0.02,
                                .hi = 0.5,
                                .typical = 0.1,
                                .weight = 0.5},
    [BP_WIPER_SEIZED] = {.id = "seized",
                         .sets = LOAD,
                         .words = "%s or its linkage seized",
                         .weight = 1.5},
    [BP_WIPER_BINDING] = {.id = "binding",
                          .sets = LOAD,
                          .words = "linkage of %s binding: extra torque over the normal one",
                          .scale = BP_SCALE_LOG,
                          .unit = BP_UNIT_FRACTION,
                          .lo = 0.2,
                          .hi = 5,
                          .typical = 1.5,
                          .weight = 2},
    [BP_WIPER_UNLOADED] = {.id = "unloaded",
                           .sets = LOAD,
                           .words = "linkage of %s off: the motor turns and the arms stand still",
                           .weight = 1,
                           .seen_by_eye = true},
    [BP_WIPER_PARK_OPEN] = {.id = "park-open",
                            .sets = PARK | PARK_STICKS,
                            .words = "park contact of %s does not make while sweeping: it stops "
                                     "where it is",
                            .weight = 2,
                            .intermittent = true},
    [BP_WIPER_PARK_RESISTANCE] = {.id = "park-resistance",
                                  .sets = PARK,
                                  .words = "park contact of %s burnt",
                                  .scale = BP_SCALE_LOG,
                                  .unit = BP_UNIT_OHM,
                                  .lo = 0.1,
                                  .hi = 50,
                                  .typical = 2,
                                  .weight = 1.5,
                                  .intermittent = true},
    [BP_WIPER_PARK_WELDED] = {.id = "park-welded",
                              .sets = PARK_STICKS,
                              .words = "park contact of %s stays on the feed when parked: it never "
                                       "stops",
                              .weight = 1},
    [BP_WIPER_PARK_BRIDGED] = {.id = "park-bridged",
                               .words = "park switch of %s bridges feed and ground",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 0.02,
                               .hi = 10,
                               .typical = 0.1,
                               .weight = 0.5},
    [BP_WIPER_BRAKE_OPEN] = {.id = "brake-open",
                             .sets = BRAKE | BRAKE_STICKS,
                             .words = "brake contact of %s does not make when parked: it overruns "
                                      "the park position",
                             .weight = 0.7,
                             .intermittent = true},
    [BP_WIPER_BRAKE_RESISTANCE] = {.id = "brake-resistance",
                                   .sets = BRAKE,
                                   .words = "brake contact of %s burnt",
                                   .scale = BP_SCALE_LOG,
                                   .unit = BP_UNIT_OHM,
                                   .lo = 0.1,
                                   .hi = 50,
                                   .typical = 2,
                                   .weight = 0.5,
                                   .intermittent = true},
    [BP_WIPER_BRAKE_WELDED] = {.id = "brake-welded",
                               .sets = BRAKE_STICKS,
                               .words = "park contact of %s stays on ground while sweeping: it "
                                        "stops where it is",
                               .weight = 0.7},
    [BP_WIPER_CAM_SLIPPED] = {.id = "cam-slipped",
                              .words = "cam or crank of %s slipped on its shaft, by this share of "
                                       "a turn",
                              .scale = BP_SCALE_LINEAR,
                              .unit = BP_UNIT_FRACTION,
                              .lo = 0.02,
                              .hi = 0.5,
                              .typical = 0.12,
                              .weight = 0.7,
                              .seen_by_eye = true},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_WIPER_STALL] < 3 * part->param[BP_WIPER_CURRENT])
        bp_part_mistake(part, report,
                        "%s takes %g A wiping and only %g A held still: the stall current must be "
                        "at least 3 times the current",
                        part->id, part->param[BP_WIPER_CURRENT], part->param[BP_WIPER_STALL]);
}

static const bp_branch ways[] = {
    {BP_BRANCH_LOAD, BP_WIPER_PIN_53, BP_WIPER_PIN_31, "the slow speed of"},
    {BP_BRANCH_LOAD, BP_WIPER_PIN_53B, BP_WIPER_PIN_31, "the fast speed of"},
    {BP_BRANCH_SWITCHED, BP_WIPER_PIN_53A, BP_WIPER_PIN_53E, "until parked"},
    {BP_BRANCH_SWITCHED, BP_WIPER_PIN_53E, BP_WIPER_PIN_31, "while parked"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_wiper_motor = {
    .id = "wiper-motor",
    .words = "wiper motor",
    .note = "Three-brush permanent-magnet motor with a park switch on its gear: 53e is joined to "
            "the feed 53a while sweeping and to ground when parked, so that a switch in off, "
            "joining 53e and 53, first runs it home and then brakes it. At the fast speed the free "
            "slow brush shows more than the supply, since more turns lie before it. Terminals as "
            "in DIN 72552; the position of the cam is a setting of the state, "
            "and in a run over time it turns with the motor.",
    .pins = pins,
    .params = params,
    .settings = settings,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 50,
    .price = 110,
    .check = check,
};
