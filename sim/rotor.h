/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A permanent-magnet motor inside the solver. Speed is the voltage of a mechanical node, 1 V at
 * rated speed; torque is a current into that node, 1 A at rated torque. So back-EMF, load and
 * friction are solved together with the circuit.
 */
#ifndef BP_SIM_ROTOR_H
#define BP_SIM_ROTOR_H

#include "sim/model.h"

/* Armature: (volts - back_emf * speed) * conductance. Controls: 0 the armature's terminals, 1 speed
 * over 0. Parameters: $0 conductance in siemens (0 = open), $1 back-EMF at rated speed in volts.
 * Driven into the mechanical node, with $0 multiplied by torque per ampere, it is the torque. */
extern const bp_law bp_law_armature;

/* Load: dry friction and the part that grows with the square of speed. Control: 0 speed.
 * Parameters: $0 friction, $1 square part, both in rated torques. The part proportional to speed is
 * a resistor. */
extern const bp_law bp_law_load;

/* Torque of a load in rated torques: friction + proportional * speed + square * speed * |speed|;
 * the sum is 1. */
typedef struct bp_load {
    double friction, proportional, square;
} bp_load;

/* The proportional part of a rotor that cannot turn; finite so that the solver's node stays
 * defined. */
#define BP_ROTOR_SEIZED 1e6

/* Below this share of rated speed a motor counts as standing: friction is a steep slope there, not
 * a step. */
#define BP_STANDS_STILL 0.03

/* Each returns its first slot. A winding adds its armature law and its torque on the mechanical
 * node `mech`; a motor with two brushes fed apart has two windings on one rotor. The load adds its
 * law and a resistor as proportional part. */
size_t bp_rotor_winding(bp_builder *b, size_t plus, size_t minus, size_t mech);
size_t bp_rotor_load(bp_builder *b, size_t mech);

/* Values in the same order. winding: conductance in S, back-EMF in V at rated speed, rated torques
 * per ampere. */
void bp_rotor_winding_values(double *value, double conductance, double back_emf, double torque);
void bp_rotor_load_values(double *value, const bp_load *load);
enum { BP_ROTOR_WINDING_VALUES = 4, BP_ROTOR_LOAD_VALUES = 3 };

/* Speed in rated speeds, from the first slot of bp_rotor_load. */
double bp_rotor_speed(const bp_view *view, size_t load_slot);

/* Drag of shorted turns in rated torques per rated speed: a share of the winding generates into its
 * own resistance. */
double bp_rotor_short_drag(double share, double back_emf, double ohm, double rated_amps);

#endif
