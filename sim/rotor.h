/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A permanent-magnet motor inside the solver: back-EMF, load and friction are solved together with
 * the circuit, in rated speeds and rated torques.
 *
 * A rotor has two nodes. Volts on the first are the torque that its load asks for, volts on the
 * second its speed. Speed is a function of torque and not the other way round, since dry friction
 * as a function of speed is a step, on which Newton's method jumps to and fro for ever; as a
 * function of torque it is a dead zone, which it finds from wherever it starts. Every node has a
 * resistor of 1 ohm to node 0, so that the currents which laws drive into it are its volts.
 */
#ifndef BP_SIM_ROTOR_H
#define BP_SIM_ROTOR_H

#include "sim/model.h"

typedef struct bp_rotor {
    size_t torque, speed; /* deck nodes */
} bp_rotor;

/* Torque of a load in rated torques: friction + proportional * speed + square * speed * |speed|.
 * The sum of a rated load is 1. friction and proportional are above 0. */
typedef struct bp_load {
    double friction, proportional, square;
} bp_load;

/* The proportional part of a rotor that cannot turn; finite, so that the solver has something to
 * divide by. */
#define BP_ROTOR_SEIZED 1e6

/* Below this share of rated speed a motor counts as standing: the dead zone has round corners. */
#define BP_STANDS_STILL 0.03

enum { BP_ROTOR_WINDING_VALUES = 5, BP_ROTOR_LOAD_VALUES = 4, BP_ROTOR_SQUARE_VALUES = 3 };

/* Adds the rotor and its load but for the square part. */
bp_rotor bp_rotor_load(bp_builder *b);
void bp_rotor_load_values(double *value, const bp_load *load);
/* Adds the square part, where a load has one. */
void bp_rotor_square(bp_builder *b, const bp_rotor *rotor);
void bp_rotor_square_values(double *value, const bp_load *load);

/* Adds a winding between two nodes that turns the rotor. A motor with two brushes fed apart has two
 * windings on one rotor. Values: resistance in ohm (BP_OPEN_OHM: open), back-EMF in V at rated
 * speed, rated torques per ampere. */
void bp_rotor_winding(bp_builder *b, size_t plus, size_t minus, const bp_rotor *rotor);
void bp_rotor_winding_values(double *value, double ohm, double back_emf, double torque_per_amp);

/* The same rotor in a run over time: its speed is a state of its own, and what no load takes speeds
 * it up. The winding's helpers go with it as they are. Values: seconds that rated torque needs to
 * bring it to rated speed, friction, proportional and square part of the load. */
enum { BP_ROTOR_INERTIA_VALUES = 5, BP_ROTOR_INERTIA_FRICTION = 2 /* slot of its friction */ };
bp_rotor bp_rotor_inertia(bp_builder *b);
void bp_rotor_inertia_values(double *value, double seconds, const bp_load *load);
/* Speed of a rotor with inertia, in rated speeds, from the first slot of its load. */
double bp_rotor_speed_in_time(const bp_view *view, size_t inertia_slot);

/* Speed in rated speeds, from the first slot of the load; current in A, plus to minus, from the
 * first slot of a winding. */
double bp_rotor_speed(const bp_view *view, size_t load_slot);
double bp_rotor_amps(const bp_view *view, size_t winding_slot, double speed);

/* Drag of shorted turns in rated torques per rated speed: a share of the winding generates into its
 * own resistance. */
double bp_rotor_short_drag(double share, double back_emf, double ohm, double rated_amps);

#endif
