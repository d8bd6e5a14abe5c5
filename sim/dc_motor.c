/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/dc_motor.h"

#include "circuits/kinds/motor.h"
#include "sim/rotor.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum {
    LOAD,
    WINDING = LOAD + BP_ROTOR_LOAD_VALUES,
    GROUND_LEAK = WINDING + BP_ROTOR_WINDING_VALUES,
    SQUARE /* only with a load that has such a part */
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

static bool has_square(const double *param) {
    return loads[(size_t)param[BP_MOTOR_LOAD]].square > 0;
}

void bp_dc_motor_elements(bp_builder *b, const bp_part *part) {
    size_t plus = bp_build_own(b, part, BP_MOTOR_PIN_1);
    size_t minus = bp_build_own(b, part, BP_MOTOR_PIN_2);
    const bp_rotor rotor = bp_rotor_load(b);
    bp_rotor_winding(b, plus, minus, &rotor);
    bp_build_resistor(b, plus, bp_build_body(b));
    if (has_square(part->param))
        bp_rotor_square(b, &rotor);
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
    if (has_square(param))
        bp_rotor_square_values(&value[SQUARE], &load);
}

double bp_dc_motor_speed(const bp_view *view) { return bp_rotor_speed(view, LOAD); }

double bp_dc_motor_amps(const bp_view *view) {
    return bp_rotor_amps(view, WINDING, bp_dc_motor_speed(view));
}

/* What follows only exists in time. */

enum {
    T_LOAD,
    T_WINDING = T_LOAD + BP_ROTOR_INERTIA_VALUES,
    T_BRUSHES = T_WINDING + BP_ROTOR_WINDING_VALUES,
    T_RIPPLE,
    T_FIELD,
    T_LOSS,
    T_ANGLE,
    T_ANGLE_LEAK,
    T_TURNING,
    T_GROUND_LEAK
};

/* Time in which rated torque alone brings it to rated speed, s, and turns a second there: a pump of
 * 6000 rev/min, a fan of 2400, small motors of 3000; from memory. */
static const double inertia[BP_MOTOR_N_LOADS] = {
    [BP_MOTOR_PUMP] = 0.05,  [BP_MOTOR_FAN] = 0.6,  [BP_MOTOR_WIPER] = 0.3, [BP_MOTOR_FREE] = 0.1,
    [BP_MOTOR_WINDOW] = 0.1, [BP_MOTOR_LOCK] = 0.1, [BP_MOTOR_SEAT] = 0.1};
static const double turns_a_second[BP_MOTOR_N_LOADS] = {
    [BP_MOTOR_PUMP] = 100,  [BP_MOTOR_FAN] = 40,  [BP_MOTOR_WIPER] = 50, [BP_MOTOR_FREE] = 50,
    [BP_MOTOR_WINDOW] = 50, [BP_MOTOR_LOCK] = 50, [BP_MOTOR_SEAT] = 50};

/* Commutators of eight bars: the back-EMF swings eight times a turn by 1 - cos(pi / 8) from top to
 * bottom; eight bars on two brushes: common practice. */
static const double bars = 8, swing = 0.076 / 2;

/* L / R of a small armature, s: data-sheet typical, from memory. */
static const double armature_seconds = 1e-3;

/* Eddy currents end the ring of an armature that is cut off: a loss across its inductance, ohm for
 * each ohm of copper, from memory. */
static const double loss_per_ohm = 30;

/* The brushes' share of the armature circuit, across which the ripple is drawn. */
static const double brush_share = 0.05;

/* The angle is the voltage of a farad; this keeps a standing one solvable. */
static const double angle_leak = 1e3;

static const double pi = 3.14159265358979323846;

/* Controls: 0 speed, 1 angle in turns of the commutator's ripple. $0 A at rated speed. */
static const bp_law ripple = {
    .id = "ripple", .n_controls = 2, .n_params = 1, .spice = "$0*#0*cos(#1)"};
static const bp_law turning = {
    .id = "motor-turning", .n_controls = 1, .n_params = 1, .spice = "$0*#0*min(1,1e9*time)"};

void bp_dc_motor_elements_in_time(bp_builder *b, const bp_part *part) {
    const size_t plus = bp_build_own(b, part, BP_MOTOR_PIN_1);
    const size_t minus = bp_build_own(b, part, BP_MOTOR_PIN_2);
    const size_t coil = bp_build_node(b), brushes = bp_build_node(b), angle = bp_build_node(b);
    const bp_rotor rotor = bp_rotor_inertia(b);
    const size_t speed[1][2] = {{rotor.speed, 0}};
    const size_t both[2][2] = {{rotor.speed, 0}, {angle, 0}};
    bp_rotor_winding(b, coil, brushes, &rotor);
    bp_build_resistor(b, brushes, minus);
    bp_build_law(b, &ripple, minus, brushes, both);
    bp_build_inductor(b, plus, coil);
    bp_build_resistor(b, plus, coil);
    bp_build_capacitor(b, angle, 0);
    bp_build_resistor(b, angle, 0);
    bp_build_law(b, &turning, 0, angle, speed);
    bp_build_resistor(b, plus, bp_build_body(b));
}

void bp_dc_motor_values_in_time(const bp_view *view, double *value) {
    const double *param = view->param;
    const size_t sort = (size_t)param[BP_MOTOR_LOAD];
    const double shorted = bp_view_how_bad(view, BP_MOTOR_SHORTED_TURNS, 0), turns = 1 - shorted;
    const double copper = bp_view_copper(view, BP_MOTOR_PLACE, bp_motor_armature(param) * turns);
    const double ohm = copper + bp_view_how_bad(view, BP_MOTOR_WORN_BRUSHES, 0);
    const double brushes = brush_share * copper;
    const bp_load load = load_of(view, shorted, false);
    bp_rotor_inertia_values(&value[T_LOAD], inertia[sort], &load);
    bp_rotor_winding_values(&value[T_WINDING],
                            bp_view_has(view, BP_MOTOR_OPEN) ? BP_OPEN_OHM : ohm - brushes,
                            turns * back_emf(param), turns / param[BP_MOTOR_CURRENT]);
    value[T_BRUSHES] = brushes;
    value[T_RIPPLE] = swing * turns * back_emf(param) / brushes;
    value[T_FIELD] = armature_seconds * bp_motor_armature(param) * turns * turns;
    value[T_LOSS] = loss_per_ohm * bp_motor_armature(param);
    value[T_ANGLE] = 1;
    value[T_ANGLE_LEAK] = angle_leak;
    value[T_TURNING] = 2 * pi * bars * turns_a_second[sort];
    value[T_GROUND_LEAK] = bp_view_how_bad(view, BP_MOTOR_GROUND_LEAK, BP_OPEN_OHM);
}

double bp_dc_motor_speed_in_time(const bp_view *view) {
    return bp_rotor_speed_in_time(view, T_LOAD);
}

double bp_dc_motor_amps_in_time(const bp_view *view) {
    return bp_rotor_amps(view, T_WINDING, bp_dc_motor_speed_in_time(view));
}
