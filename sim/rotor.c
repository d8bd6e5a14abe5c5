/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/rotor.h"

#include "sim/wave.h"

/* Speed from torque: nothing while the torque is below the friction $1, beyond it by $0 a unit. The
 * corners are rounded off over 0.01 rated torques. */
#define SPEED "($0*(#0+0.5*(sqrt((#0-$1)*(#0-$1)+1e-4)-sqrt((#0+$1)*(#0+$1)+1e-4))))"
static const bp_law dead_zone = {.id = "dead-zone", .n_controls = 1, .n_params = 2, .spice = SPEED};

/* The square part $2 of a load, beside what the dead zone asks for. It looks at the torque and not
 * at the speed's node, so that torque is the one unknown that Newton's method has to find. It has a
 * law of its own because most loads have no such part, and it costs more than all the rest. */
static const bp_law square = {
    .id = "square", .n_controls = 1, .n_params = 3, .spice = "$2*" SPEED "*abs(" SPEED ")"};

/* Torque of a winding. Controls: 0 its terminals, 1 speed. Parameters: $0 rated torques per volt,
 * $1 rated torques per rated speed. */
static const bp_law torque = {
    .id = "torque", .n_controls = 2, .n_params = 2, .spice = "$0*#0-$1*#1"};

/* Back-EMF as the current that it takes out of the winding's resistor, $0 at rated speed. It is
 * made on a node of its own, and drawn between the terminals by a law without parameters: then what
 * is there has the same entries in the solver's first step as in its last, and a motor with both
 * ends open, which only the solver's shunts tie to anything, is solved like any other. */
static const bp_law back_emf_made = {
    .id = "back-emf", .n_controls = 1, .n_params = 1, .spice = "$0*#0"};
static const bp_law back_emf_drawn = {
    .id = "back-emf-drawn", .n_controls = 1, .n_params = 0, .spice = "-#0"};

/* What a load takes of a rotor's torque at a speed, in time: friction $0 rises over 0.02 rated
 * speeds, since a step has no slope for the solver. */
static const bp_law braking = {
    .id = "braking", .n_controls = 1, .n_params = 3, .spice = "$0*tanh(50*#0)+$1*#0+$2*#0*abs(#0)"};

static const double unit_ohm = 1;

/* Through this the speed of a rotor with inertia can be read as a current; next to nothing, ohm. */
static const double speed_gauge_ohm = 1e6;

/* Slots in the order in which they are built. */
enum { TORQUE_UNIT, SPEED_UNIT, ZONE, N_LOAD = ZONE + 2 };
enum { SPEED_PER_TORQUE, FRICTION, SQUARE_PART, N_SQUARE };
enum { WINDING_OHM, EMF_PER_SPEED, EMF_UNIT, TORQUE_PER_VOLT, TORQUE_PER_SPEED, N_WINDING };
_Static_assert((int)N_LOAD == (int)BP_ROTOR_LOAD_VALUES, "as told in the header");
_Static_assert((int)N_SQUARE == (int)BP_ROTOR_SQUARE_VALUES, "as told in the header");
_Static_assert((int)N_WINDING == (int)BP_ROTOR_WINDING_VALUES, "as told in the header");

bp_rotor bp_rotor_load(bp_builder *b) {
    const bp_rotor rotor = {bp_build_node(b), bp_build_node(b)};
    const size_t asked[1][2] = {{rotor.torque, 0}};
    bp_build_resistor(b, rotor.torque, 0);
    bp_build_resistor(b, rotor.speed, 0);
    bp_build_law(b, &dead_zone, 0, rotor.speed, asked);
    return rotor;
}

void bp_rotor_square(bp_builder *b, const bp_rotor *rotor) {
    const size_t asked[1][2] = {{rotor->torque, 0}};
    bp_build_law(b, &square, rotor->torque, 0, asked);
}

void bp_rotor_load_values(double *value, const bp_load *load) {
    value[TORQUE_UNIT] = value[SPEED_UNIT] = unit_ohm;
    value[ZONE] = 1 / load->proportional;
    value[ZONE + 1] = load->friction;
}

void bp_rotor_square_values(double *value, const bp_load *load) {
    value[SPEED_PER_TORQUE] = 1 / load->proportional;
    value[FRICTION] = load->friction;
    value[SQUARE_PART] = load->square;
}

void bp_rotor_winding(bp_builder *b, size_t plus, size_t minus, const bp_rotor *rotor) {
    const size_t emf = bp_build_node(b);
    const size_t turning[1][2] = {{rotor->speed, 0}}, made[1][2] = {{emf, 0}};
    const size_t volts_and_speed[2][2] = {{plus, minus}, {rotor->speed, 0}};
    bp_build_resistor(b, plus, minus);
    bp_build_law(b, &back_emf_made, 0, emf, turning);
    bp_build_resistor(b, emf, 0);
    bp_build_law(b, &back_emf_drawn, plus, minus, made);
    bp_build_law(b, &torque, 0, rotor->torque, volts_and_speed);
}

void bp_rotor_winding_values(double *value, double ohm, double back_emf, double torque_per_amp) {
    value[WINDING_OHM] = ohm;
    value[EMF_PER_SPEED] = back_emf / ohm;
    value[EMF_UNIT] = unit_ohm;
    value[TORQUE_PER_VOLT] = torque_per_amp / ohm;
    value[TORQUE_PER_SPEED] = torque_per_amp * back_emf / ohm;
}

enum { GAUGE, INERTIA, BRAKING };
_Static_assert((int)BRAKING == (int)BP_ROTOR_INERTIA_FRICTION, "as told in the header");

bp_rotor bp_rotor_inertia(bp_builder *b) {
    const size_t speed = bp_build_node(b);
    const size_t turning[1][2] = {{speed, 0}};
    bp_build_resistor(b, speed, 0);
    bp_build_capacitor(b, speed, 0);
    bp_build_law(b, &braking, speed, 0, turning);
    return (bp_rotor){speed, speed};
}

void bp_rotor_inertia_values(double *value, double seconds, const bp_load *load) {
    value[GAUGE] = speed_gauge_ohm;
    value[INERTIA] = seconds;
    value[BRAKING] = load->friction;
    value[BRAKING + 1] = load->proportional;
    value[BRAKING + 2] = load->square;
}

double bp_rotor_speed_in_time(const bp_view *view, size_t inertia_slot) {
    return bp_view_current(view, inertia_slot + GAUGE) * speed_gauge_ohm;
}

double bp_rotor_speed(const bp_view *view, size_t load_slot) {
    return bp_view_current(view, load_slot + SPEED_UNIT) * unit_ohm;
}

double bp_rotor_amps(const bp_view *view, size_t winding_slot, double speed) {
    return bp_view_current(view, winding_slot + WINDING_OHM) -
           bp_view_value(view, winding_slot + EMF_PER_SPEED) * speed;
}

double bp_rotor_short_drag(double share, double back_emf, double ohm, double rated_amps) {
    return share * back_emf / (ohm * rated_amps);
}
