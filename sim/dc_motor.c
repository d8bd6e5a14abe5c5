/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/dc_motor.h"

#include "circuits/kinds/motor.h"
#include "sim/rotor.h"
#include "sim/winding.h"

enum {
    LOAD,
    WINDING = LOAD + BP_ROTOR_LOAD_VALUES,
    GROUND_LEAK = WINDING + BP_ROTOR_WINDING_VALUES
};

/* Torque over speed: dry friction, proportional and square parts. A fan follows the square law of
 * the handbooks; the shares of the others are from memory: a pump against a pressure regulator,
 * wiper blades on wet glass, a bare motor, a window in its seals, a lock against its spring, a seat
 * on its spindle. */
static const bp_load loads[BP_MOTOR_N_LOADS] = {
    [BP_MOTOR_PUMP] = {0.60, 0.40, 0},   [BP_MOTOR_FAN] = {0.05, 0.15, 0.80},
    [BP_MOTOR_WIPER] = {0.80, 0.20, 0},  [BP_MOTOR_FREE] = {0.70, 0.30, 0},
    [BP_MOTOR_WINDOW] = {0.80, 0.20, 0}, [BP_MOTOR_LOCK] = {0.50, 0.50, 0},
    [BP_MOTOR_SEAT] = {0.85, 0.15, 0}};

/* What is left when the load is gone: bearings and brushes, from memory. */
static const bp_load bare = {0.12, 0.05, 0};

void bp_dc_motor_elements(bp_builder *b, const bp_part *part) {
    size_t plus = bp_build_own(b, part, BP_MOTOR_PIN_1);
    size_t minus = bp_build_own(b, part, BP_MOTOR_PIN_2);
    const bp_rotor rotor = bp_rotor_load(b);
    bp_rotor_winding(b, plus, minus, &rotor);
    bp_build_resistor(b, plus, bp_build_body(b));
}

/* Back-EMF at rated speed: what is left of the rated voltage after the armature's drop, with all
 * turns good. */
static double back_emf(const double *param) {
    return param[BP_MOTOR_VOLTS] - param[BP_MOTOR_CURRENT] * bp_motor_armature(param);
}

static bp_load load_of(const bp_view *view, double shorted, bool held) {
    const double *param = view->param;
    bp_load load =
        bp_view_has(view, BP_MOTOR_UNLOADED) ? bare : loads[(size_t)param[BP_MOTOR_LOAD]];
    load.friction += bp_view_how_bad(view, BP_MOTOR_BINDING, 0);
    load.proportional += bp_rotor_short_drag(shorted, back_emf(param), bp_motor_armature(param),
                                             param[BP_MOTOR_CURRENT]);
    if (held || bp_view_has(view, BP_MOTOR_SEIZED))
        load.proportional = BP_ROTOR_SEIZED;
    return load;
}

void bp_dc_motor_values(const bp_view *view, bool held, double *value) {
    const double *param = view->param;
    double shorted = bp_view_how_bad(view, BP_MOTOR_SHORTED_TURNS, 0);
    double turns = 1 - shorted;
    double ohm = bp_view_copper(view, BP_MOTOR_PLACE, bp_motor_armature(param) * turns) +
                 bp_view_how_bad(view, BP_MOTOR_WORN_BRUSHES, 0);
    if (bp_view_has(view, BP_MOTOR_OPEN))
        ohm = BP_OPEN_OHM;
    bp_rotor_winding_values(&value[WINDING], ohm, turns * back_emf(param),
                            turns / param[BP_MOTOR_CURRENT]);
    const bp_load load = load_of(view, shorted, held);
    bp_rotor_load_values(&value[LOAD], &load);
    value[GROUND_LEAK] = bp_view_how_bad(view, BP_MOTOR_GROUND_LEAK, BP_OPEN_OHM);
}

double bp_dc_motor_speed(const bp_view *view) { return bp_rotor_speed(view, LOAD); }

double bp_dc_motor_amps(const bp_view *view) {
    return bp_rotor_amps(view, WINDING, bp_dc_motor_speed(view));
}
