/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A permanent-magnet motor with the pins, parameters and failure modes of circuits/kinds/motor.h.
 */
#ifndef BP_SIM_DC_MOTOR_H
#define BP_SIM_DC_MOTOR_H

#include "sim/model.h"

void bp_dc_motor_elements(bp_builder *b, const bp_part *part);
/* held: something else keeps it from turning. */
void bp_dc_motor_values(const bp_view *view, bool held, double *value);
/* In rated speeds, and in A from pin 1 to pin 2. */
double bp_dc_motor_speed(const bp_view *view);
double bp_dc_motor_amps(const bp_view *view);

/* The same in a run over time: inertia of what turns, inductance of the armature, and the ripple of
 * its commutator. */
void bp_dc_motor_elements_in_time(bp_builder *b, const bp_part *part);
void bp_dc_motor_values_in_time(const bp_view *view, double *value);
double bp_dc_motor_speed_in_time(const bp_view *view);
double bp_dc_motor_amps_in_time(const bp_view *view);

/* Shares of rated speed at which people call a motor slow or fast, and of rated current from which
 * one that stands still counts as stalled: common practice. */
#define BP_DC_MOTOR_SLOW 0.7
#define BP_DC_MOTOR_FAST 1.15
#define BP_DC_MOTOR_STALLS 0.3

#endif
