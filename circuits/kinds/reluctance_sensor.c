/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Variable-reluctance sensor: a coil on a magnet before a toothed wheel.
 */
#include "circuits/kinds/reluctance_sensor.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_RELUCTOR_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "signal"},
    [BP_RELUCTOR_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "signal return"},
    {.name = NULL}};

static const char *const places[] = {"cabin", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_RELUCTOR_WINDING] = {.key = "resistance",
                             .unit = BP_UNIT_OHM,
                             .def = 860,
                             .lo = 50,
                             .hi = 5000,
                             .tol = 0.10,
                             .tol_sort = BP_TOL_RELATIVE,
                             .words = "resistance of the coil at 20 °C",
                             .source = "200 to 1000 ohm: data-sheet typical, from memory"},
    [BP_RELUCTOR_INDUCTANCE] = {.key = "inductance",
                                .unit = BP_UNIT_HENRY,
                                .def = 0.37,
                                .lo = 1e-3,
                                .hi = 5,
                                .tol = 0.15,
                                .tol_sort = BP_TOL_RELATIVE,
                                .words = "inductance of the coil",
                                .source = "0.2 to 0.5 H: data-sheet typical, from memory"},
    [BP_RELUCTOR_TEETH] = {.key = "teeth",
                           .type = BP_PARAM_COUNT,
                           .def = 36,
                           .lo = 1,
                           .hi = 400,
                           .words = "places on the wheel, the empty ones counted",
                           .source = "4 to 60: common practice"},
    [BP_RELUCTOR_MISSING] = {.key = "missing",
                             .type = BP_PARAM_COUNT,
                             .def = 0,
                             .lo = 0,
                             .hi = 4,
                             .words = "teeth left out side by side, as the mark of one turn",
                             .source = "1 of 36 or 2 of 60: common practice"},
    [BP_RELUCTOR_TURNS] = {.key = "turns",
                           .unit = BP_UNIT_NONE,
                           .def = 1,
                           .lo = 0.05,
                           .hi = 20,
                           .words = "turns of the wheel a turn of the crankshaft",
                           .source = "1 on the crankshaft, 0.5 on the camshaft or distributor"},
    [BP_RELUCTOR_OUTPUT] = {.key = "output",
                            .unit = BP_UNIT_VOLT,
                            .def = 1.0,
                            .lo = 0.01,
                            .hi = 20,
                            .tol = 0.20,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "peak voltage without load when 100 teeth pass in a second, "
                                     "at the gap as built",
                            .source = "a half to some volts at cranking speed: common practice"},
    [BP_RELUCTOR_PITCH] = {.key = "pitch",
                           .unit = BP_UNIT_METRE,
                           .def = 0.013,
                           .lo = 1e-3,
                           .hi = 0.2,
                           .words = "from tooth to tooth along the rim; the wider, the less the "
                                    "gap matters",
                           .source = "36 on a wheel of 150 mm: geometry"},
    [BP_RELUCTOR_GAP] = {.key = "gap",
                         .unit = BP_UNIT_METRE,
                         .def = 0.001,
                         .lo = 1e-4,
                         .hi = 0.01,
                         .words = "air gap as built",
                         .source = "0.5 to 1.5 mm: common practice"},
    [BP_RELUCTOR_PLACE] = {.key = "place",
                           .type = BP_PARAM_WORD,
                           .def = 1,
                           .choices = places,
                           .words = "where it sits, for the temperature of its coil: cabin or "
                                    "engine",
                           .source = "common practice"},
    {.key = NULL}};

/* Why no steady reading and no sense tells what only changes the signal. */
static const char signal_only[] =
    "it changes the signal alone: the AC voltmeter or an oscilloscope shows it";

/* What modes of one place cannot set in two ways at once. */
enum { GAP = 1 };

static const bp_mode_decl modes[] = {
    [BP_RELUCTOR_OPEN] = {.id = "open",
                          .words = "coil of %s open",
                          .weight = 2,
                          .intermittent = true},
    [BP_RELUCTOR_SHORTED_TURNS] = {.id = "shorted-turns",
                                   .words = "turns of %s shorted",
                                   .scale = BP_SCALE_LOG,
                                   .unit = BP_UNIT_FRACTION,
                                   .lo = 0.02,
                                   .hi = 0.8,
                                   .typical = 0.4,
                                   .weight = 0.7},
    [BP_RELUCTOR_GROUND_LEAK] = {.id = "ground-leak",
                                 .words = "coil of %s leaks to the engine through its insulation",
                                 .scale = BP_SCALE_LOG,
                                 .unit = BP_UNIT_OHM,
                                 .lo = 1,
                                 .hi = 1e5,
                                 .typical = 200,
                                 .weight = 0.5,
                                 .intermittent = true},
    [BP_RELUCTOR_GAP_WIDE] = {.id = "gap-wide",
                              .sets = GAP,
                              .words = "air gap of %s wider than it should be, by",
                              .scale = BP_SCALE_LINEAR,
                              .unit = BP_UNIT_METRE,
                              .lo = 2e-4,
                              .hi = 6e-3,
                              .typical = 1.8e-3,
                              .weight = 2,
                              .unseen = signal_only},
    [BP_RELUCTOR_GAP_NARROW] = {.id = "gap-narrow",
                                .sets = GAP,
                                .words = "air gap of %s narrower than it should be, by",
                                .scale = BP_SCALE_LINEAR,
                                .unit = BP_UNIT_METRE,
                                .lo = 1e-4,
                                .hi = 2e-3,
                                .typical = 7e-4,
                                .weight = 0.5,
                                .unseen = signal_only},
    [BP_RELUCTOR_WEAK_MAGNET] = {.id = "weak-magnet",
                                 .words = "magnet of %s weak, or its tip full of filings: share "
                                          "of the signal left",
                                 .scale = BP_SCALE_LOG,
                                 .unit = BP_UNIT_FRACTION,
                                 .lo = 0.05,
                                 .hi = 0.9,
                                 .typical = 0.4,
                                 .weight = 0.7,
                                 .unseen = signal_only},
    [BP_RELUCTOR_SWAPPED] = {.id = "swapped",
                             .words = "wires of %s swapped: its signal is upside down",
                             .weight = 0.5,
                             .unseen = signal_only},
    [BP_RELUCTOR_TOOTH_DAMAGED] = {.id = "tooth-damaged",
                                   .words = "a tooth of the wheel of %s broken or bent: share of "
                                            "its signal left",
                                   .scale = BP_SCALE_LINEAR,
                                   .unit = BP_UNIT_FRACTION,
                                   .lo = 0,
                                   .hi = 0.8,
                                   .typical = 0,
                                   .weight = 0.5,
                                   .seen_by_eye = true},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_RELUCTOR_MISSING] >= part->param[BP_RELUCTOR_TEETH])
        bp_part_mistake(part, report,
                        "more teeth are missing than the wheel has: expected like teeth: 36, "
                        "missing: 1");
}

static const bp_branch ways[] = {
    {BP_BRANCH_SIGNAL_SOURCE, BP_RELUCTOR_PIN_1, BP_RELUCTOR_PIN_2, NULL},
    {BP_BRANCH_SIGNAL_SOURCE, BP_RELUCTOR_PIN_2, BP_RELUCTOR_PIN_1, NULL},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_reluctance_sensor = {
    .id = "reluctance-sensor",
    .words = "reluctance sensor",
    .note = "A coil on a magnet before a toothed wheel. What it gives is proportional to speed and "
            "falls with the gap; only a run over time, the AC voltmeter, duty and hertz see it. To "
            "an ohmmeter it is its coil. The wheel's first tooth passes at time 0.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 20,
    .price = 35,
    .check = check,
};
