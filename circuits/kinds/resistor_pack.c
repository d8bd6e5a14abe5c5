/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Resistor pack of a blower: steps in series, taps between them, a thermal cut-out.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/resistor_pack.h"

static const bp_pin_decl pins[] = {
    [BP_PACK_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "lowest speed"},
    [BP_PACK_PIN_2] = {.name = "2",
                       .sort = BP_PIN_PLUG,
                       .optional = true,
                       .words = "tap between the first and the second step"},
    [BP_PACK_PIN_3] = {.name = "3",
                       .sort = BP_PIN_PLUG,
                       .optional = true,
                       .words = "tap between the second and the third step"},
    [BP_PACK_PIN_4] = {.name = "4", .sort = BP_PIN_PLUG, .words = "motor side, behind the cut-out"},
    {.name = NULL}};

static const char *const cut_outs[] = {"link", "disc", "none", NULL};

#define STEP(what, ohm)                                                                            \
    {                                                                                              \
        .key = what, .unit = BP_UNIT_OHM, .def = ohm, .lo = 0.01, .hi = 20, .tol = 0.08,           \
        .tol_sort = BP_TOL_RELATIVE, .words = "resistance of the step between its two taps",       \
        .source = "0.3 to 2 ohm a step for blowers of 15 to 25 A: data-sheet typical, from memory" \
    }

static const bp_param_decl params[] = {
    [BP_PACK_R1] = STEP("step-1", 1.2),
    [BP_PACK_R2] = STEP("step-2", 0.8),
    [BP_PACK_R3] = STEP("step-3", 0.4),
    [BP_PACK_CUT_OUT] = {.key = "cut-out",
                         .type = BP_PARAM_WORD,
                         .def = BP_PACK_LINK,
                         .choices = cut_outs,
                         .words = "what opens when it overheats: link (melts once), disc (a "
                                  "bimetal that closes again when cool) or none",
                         .source = "common practice: most packs have a soldered or melting link"},
    [BP_PACK_SNAPS] = {.key = "opens-at",
                       .unit = BP_UNIT_CELSIUS,
                       .def = 184,
                       .lo = 70,
                       .hi = 400,
                       .tol = 8,
                       .tol_sort = BP_TOL_ABSOLUTE,
                       .words = "temperature at which the cut-out opens",
                       .source = "184 °C, a usual grade of thermal links (IEC 60691): data-sheet "
                                 "typical, from memory"},
    [BP_PACK_HEATING] = {.key = "heating",
                         .unit = BP_UNIT_NONE,
                         .def = 1.2,
                         .lo = 0.01,
                         .hi = 20,
                         .words = "kelvins that a watt warms it in the blower's air; still air "
                                  "carries an eighth of that heat off",
                         .source =
                             "wire coils in an air duct: from memory; still and moving gases carry "
                             "off 2 to 25 and 25 to 250 W/(m2 K): textbooks of heat transfer"},
    {.key = NULL}};

static bool has_cut_out(const bp_part *part) {
    return part->param[BP_PACK_CUT_OUT] != BP_PACK_NO_CUT_OUT;
}

#define BROKEN(number)                                                                             \
    {                                                                                              \
        .id = "step-" number "-open", .words = "step " number " of %s burnt through", .weight = 1, \
        .intermittent = true                                                                       \
    }
#define BRIDGED(number)                                                                            \
    {                                                                                              \
        .id = "step-" number "-short", .words = "coils of step " number " of %s touch each other", \
        .weight = 0.3                                                                              \
    }

static const bp_mode_decl modes[] = {
    [BP_PACK_CUT_OUT_OPEN] = {.id = "cut-out-open",
                              .words = "cut-out of %s open: only the highest speed is left",
                              .weight = 4,
                              .applies = has_cut_out},
    [BP_PACK_STEP_1_OPEN] = BROKEN("1"),
    [BP_PACK_STEP_2_OPEN] = BROKEN("2"),
    [BP_PACK_STEP_3_OPEN] = BROKEN("3"),
    [BP_PACK_STEP_1_SHORT] = BRIDGED("1"),
    [BP_PACK_STEP_2_SHORT] = BRIDGED("2"),
    [BP_PACK_STEP_3_SHORT] = BRIDGED("3"),
    [BP_PACK_NO_AIR] = {.id = "no-air",
                        .words = "no air past %s: filter or duct blocked",
                        .weight = 0.7,
                        .seen_by_eye = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_DROPS, BP_PACK_PIN_1, BP_PACK_PIN_2, NULL},
                                 {BP_BRANCH_DROPS, BP_PACK_PIN_2, BP_PACK_PIN_3, NULL},
                                 {BP_BRANCH_DROPS, BP_PACK_PIN_3, BP_PACK_PIN_4, NULL},
                                 {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_resistor_pack = {
    .id = "resistor-pack",
    .words = "resistor pack",
    .note = "Three resistors in series between 1 and 4 with taps at 2 and 3, in the air of the "
            "blower that they slow down. The cut-out sits at 4: once it has opened, only the "
            "speed that is fed past the pack is left. The motor is a part of its own (kind motor, "
            "load: fan).",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 8,
    .fit = 15,
    .price = 25,
};
