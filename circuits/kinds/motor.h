/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the motor's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_MOTOR_H
#define BP_CIRCUITS_KINDS_MOTOR_H

#include "circuits/kind.h"

enum { BP_MOTOR_PIN_1, BP_MOTOR_PIN_2 };
enum {
    BP_MOTOR_CURRENT,
    BP_MOTOR_VOLTS,
    BP_MOTOR_STALL,
    BP_MOTOR_ARMATURE,
    BP_MOTOR_LOAD,
    BP_MOTOR_PLACE
};
enum {
    BP_MOTOR_PUMP,
    BP_MOTOR_FAN,
    BP_MOTOR_WIPER,
    BP_MOTOR_FREE,
    BP_MOTOR_WINDOW,
    BP_MOTOR_LOCK,
    BP_MOTOR_SEAT,
    BP_MOTOR_N_LOADS
};
enum {
    BP_MOTOR_OPEN,
    BP_MOTOR_WORN_BRUSHES,
    BP_MOTOR_SHORTED_TURNS,
    BP_MOTOR_SEIZED,
    BP_MOTOR_BINDING,
    BP_MOTOR_UNLOADED,
    BP_MOTOR_GROUND_LEAK
};

/* Armature resistance at 20 degC in ohm from the stall current, the armature or the default,
 * whichever is given. */
double bp_motor_armature(const double *param);

/* The two-way motor is made of the same stuff. */
extern const bp_param_decl bp_motor_params[];
extern const bp_mode_decl bp_motor_modes[];
void bp_motor_check(const struct bp_part *part, struct bp_report *report);

#endif
