/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Settings of the two-way motor. Its pins, parameters and failure modes are those of the motor
 * (circuits/kinds/motor.h).
 */
#ifndef BP_CIRCUITS_KINDS_TWO_WAY_MOTOR_H
#define BP_CIRCUITS_KINDS_TWO_WAY_MOTOR_H

/* Where what it moves stands: between its stops, at the one towards which current from 1 to 2
 * drives it, or at the other. */
enum { BP_TWO_WAY_BETWEEN, BP_TWO_WAY_FORWARD_END, BP_TWO_WAY_BACKWARD_END };

#endif
