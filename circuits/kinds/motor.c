/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Permanent-magnet DC motor with what it drives.
 */
#include "circuits/kinds/motor.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_MOTOR_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_MOTOR_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground side"},
    {.name = NULL}};

static const char *const loads[] = {"pump", "fan", "wiper", "free", "window", "lock", "seat", NULL};
static const char *const places[] = {"cabin", "engine", NULL};

/* A motor that states neither stall current nor armature resistance stalls at this many times its
 * rated current. */
static const double stall_ratio = 5;

const bp_param_decl bp_motor_params[] = {
    [BP_MOTOR_CURRENT] = {.key = "current",
                          .unit = BP_UNIT_AMPERE,
                          .def = BP_UNSET,
                          .required = true,
                          .lo = 0.05,
                          .hi = 100,
                          .tol = 0.10,
                          .tol_sort = BP_TOL_RELATIVE,
                          .words = "current at the rated voltage with its normal load",
                          .source = "10 % between good motors: from memory"},
    [BP_MOTOR_VOLTS] = {.key = "volts",
                        .unit = BP_UNIT_VOLT,
                        .def = 13.5,
                        .lo = 3,
                        .hi = 30,
                        .words = "voltage at which the current is stated",
                        .source = "13.5 V is the usual test voltage of 12 V motors: data-sheet "
                                  "typical"},
    [BP_MOTOR_STALL] = {.key = "stall",
                        .unit = BP_UNIT_AMPERE,
                        .def = BP_UNSET,
                        .lo = 0.1,
                        .hi = 500,
                        .tol = 0.15,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "current at the rated voltage when held still; unset: 5 times the "
                                 "current",
                        .source =
                            "stall at 4 to 7 times the working current: data-sheet typical of "
                            "small motors, from memory"},
    [BP_MOTOR_ARMATURE] = {.key = "armature",
                           .unit = BP_UNIT_OHM,
                           .def = BP_UNSET,
                           .lo = 0.01,
                           .hi = 100,
                           .tol = 0.15,
                           .tol_sort = BP_TOL_RELATIVE,
                           .words = "resistance of armature and brushes at 20 °C, instead of the "
                                    "stall current",
                           .source = "spread of brush contact: from memory"},
    [BP_MOTOR_LOAD] = {.key = "load",
                       .type = BP_PARAM_WORD,
                       .def = BP_MOTOR_FREE,
                       .choices = loads,
                       .words = "what it drives: pump (pressure, nearly constant torque), fan "
                                "(square of speed), wiper (dry friction), free, or window, lock, "
                                "seat (mostly friction)",
                       .source = "torque laws of handbooks of pumps and fans; shares from memory"},
    [BP_MOTOR_PLACE] = {.key = "place",
                        .type = BP_PARAM_WORD,
                        .def = 0,
                        .choices = places,
                        .words =
                            "where it sits, for the temperature of its windings: cabin or engine",
                        .source = "common practice"},
    {.key = NULL}};

static bool has_load(const bp_part *part) { return part->param[BP_MOTOR_LOAD] != BP_MOTOR_FREE; }

/* The housing of a pump hangs insulated in its line or tank. */
static bool housing_touches_body(const bp_part *part) {
    return part->param[BP_MOTOR_LOAD] != BP_MOTOR_PUMP;
}

/* What modes of one place cannot set in two ways at once. */
enum { LOAD = 1 };

const bp_mode_decl bp_motor_modes[] = {
    [BP_MOTOR_OPEN] = {.id = "open",
                       .words = "%s open inside: brushes or winding",
                       .weight = 3,
                       .intermittent = true},
    [BP_MOTOR_WORN_BRUSHES] = {.id = "worn-brushes",
                               .words = "brushes of %s worn or commutator dirty",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 0.1,
                               .hi = 20,
                               .typical = 1,
                               .weight = 2,
                               .intermittent = true},
    [BP_MOTOR_SHORTED_TURNS] = {.id = "shorted-turns",
                                .words = "turns of the armature of %s shorted",
                                .scale = BP_SCALE_LOG,
                                .unit = BP_UNIT_FRACTION,
                                .lo = 0.02,
                                .hi = 0.5,
                                .typical = 0.1,
                                .weight = 0.7},
    [BP_MOTOR_SEIZED] = {.id = "seized", .sets = LOAD, .words = "%s seized", .weight = 1.5},
    [BP_MOTOR_BINDING] = {.id = "binding",
                          .sets = LOAD,
                          .words = "%s binding: extra torque over the normal one",
                          .scale = BP_SCALE_LOG,
                          .unit = BP_UNIT_FRACTION,
                          .lo = 0.2,
                          .hi = 5,
                          .typical = 1,
                          .weight = 1.5},
    [BP_MOTOR_UNLOADED] = {.id = "unloaded",
                           .sets = LOAD,
                           .words = "%s has nothing to push: line empty, hub slipping or linkage "
                                    "off",
                           .weight = 0.7,
                           .applies = has_load},
    [BP_MOTOR_GROUND_LEAK] = {.id = "ground-leak",
                              .words = "winding of %s leaks to its housing and the body",
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.1,
                              .hi = 1e4,
                              .typical = 5,
                              .weight = 0.4,
                              .applies = housing_touches_body},
    {.id = NULL}};

double bp_motor_armature(const double *param) {
    if (!isnan(param[BP_MOTOR_ARMATURE]))
        return param[BP_MOTOR_ARMATURE];
    double stall = param[BP_MOTOR_STALL];
    if (isnan(stall))
        stall = stall_ratio * param[BP_MOTOR_CURRENT];
    return param[BP_MOTOR_VOLTS] / stall;
}

void bp_motor_check(const bp_part *part, bp_report *report) {
    const double *param = part->param;
    if (!isnan(param[BP_MOTOR_ARMATURE]) && !isnan(param[BP_MOTOR_STALL]))
        bp_part_mistake(part, report,
                        "%s states both a stall current and an armature resistance: one follows "
                        "from the other, leave one out",
                        part->id);
    else if (1.5 * param[BP_MOTOR_CURRENT] * bp_motor_armature(param) > param[BP_MOTOR_VOLTS])
        bp_part_mistake(part, report,
                        "%s takes %g A at %g V turning but only %g A held still: the stall current "
                        "must be at least 1.5 times the current",
                        part->id, param[BP_MOTOR_CURRENT], param[BP_MOTOR_VOLTS],
                        param[BP_MOTOR_VOLTS] / bp_motor_armature(param));
}

const bp_kind bp_kind_motor = {
    .id = "motor",
    .words = "motor",
    .note = "Permanent-magnet DC motor: its back-EMF grows with speed, its current with the torque "
            "of the load. Held still it takes its stall "
            "current. Terminals 1 feed and 2 ground; the other way round it runs backwards.",
    .pins = pins,
    .params = bp_motor_params,
    .modes = bp_motor_modes,
    .access = 10,
    .fit = 45,
    .price = 90,
    .check = bp_motor_check,
};
