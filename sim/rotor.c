/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/rotor.h"

const bp_law bp_law_armature = {
    .id = "armature", .n_controls = 2, .n_params = 2, .spice = "$0*(#0-$1*#1)"};

/* tanh(50 x) is friction of either sign, full from 4 % of rated speed on, with a slope the solver
 * can follow. */
const bp_law bp_law_load = {
    .id = "load", .n_controls = 1, .n_params = 2, .spice = "$0*tanh(50*#0)+$1*#0*abs(#0)"};

size_t bp_rotor_winding(bp_builder *b, size_t plus, size_t minus, size_t mech) {
    const size_t control[2][2] = {{plus, minus}, {mech, 0}};
    size_t first = bp_build_law(b, &bp_law_armature, plus, minus, control);
    bp_build_law(b, &bp_law_armature, 0, mech, control);
    return first;
}

size_t bp_rotor_load(bp_builder *b, size_t mech) {
    const size_t control[1][2] = {{mech, 0}};
    size_t first = bp_build_law(b, &bp_law_load, mech, 0, control);
    bp_build_resistor(b, mech, 0);
    return first;
}

void bp_rotor_winding_values(double *value, double conductance, double back_emf, double torque) {
    value[0] = conductance;
    value[1] = back_emf;
    value[2] = conductance * torque;
    value[3] = back_emf;
}

void bp_rotor_load_values(double *value, const bp_load *load) {
    value[0] = load->friction;
    value[1] = load->square;
    value[2] = load->proportional > 0 ? 1 / load->proportional : BP_OPEN_OHM;
}

double bp_rotor_speed(const bp_view *view, size_t load_slot) {
    size_t drag = load_slot + 2;
    return bp_view_current(view, drag) * bp_view_value(view, drag);
}

double bp_rotor_short_drag(double share, double back_emf, double ohm, double rated_amps) {
    return share * back_emf / (ohm * rated_amps);
}
