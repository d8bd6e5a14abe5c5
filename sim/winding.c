/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/winding.h"

#include <stdio.h>

double bp_view_celsius(const bp_view *view, size_t place) {
    return view->param[place] == BP_PLACE_ENGINE ? view->around->engine : view->around->ambient;
}

double bp_view_copper(const bp_view *view, size_t place, double ohm20) {
    return bp_copper_at(ohm20, bp_view_celsius(view, place));
}

bool bp_view_has(const bp_view *view, int mode) {
    return bp_view_fault(view, mode, BP_NONE) != NULL;
}

double bp_view_how_bad(const bp_view *view, int mode, double otherwise) {
    const bp_fault *fault = bp_view_fault(view, mode, BP_NONE);
    return fault ? fault->severity : otherwise;
}

void bp_winding_elements(bp_builder *b, size_t plus, size_t minus) {
    size_t middle = bp_build_node(b);
    bp_build_resistor(b, plus, middle);
    bp_build_resistor(b, middle, minus);
    bp_build_resistor(b, middle, bp_build_body(b));
}

void bp_winding_values(double *value, double ohm, double leak_ohm) {
    value[0] = value[1] = ohm / 2;
    value[2] = leak_ohm;
}

double bp_winding_amps(const bp_view *view, size_t first_slot) {
    return fmax(fabs(bp_view_current(view, first_slot)),
                fabs(bp_view_current(view, first_slot + 1)));
}

const char *const bp_winding_says[] = {"normal", "weak", "off", "high", NULL};

/* Shares of the rated current at which a winding counts as dead, weak or overloaded. The limits lie
 * outside what supply (9.5 to 15 V) and temperature (-30 to 110 degC) do to a good one: common
 * practice. */
void bp_winding_behave(double amps, double rated, bp_behaviour *out) {
    const double share = amps / rated;
    out->value = amps;
    out->unit = BP_UNIT_AMPERE;
    if (share < 0.02) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "carries no current");
        return;
    }
    out->says = share < 0.55 ? "weak" : share > 1.6 ? "high" : "normal";
    snprintf(out->words, sizeof out->words, "carries %.*f A", amps < 1 ? 2 : 1, amps);
}

bp_move bp_armature_next(const bp_armature *armature, int position) {
    double amps = fabs(armature->amps);
    bp_move move = {.moves = false, .position = position};
    if (armature->held_in || armature->held_out) { /* jammed before anything is switched on */
        move.position = armature->held_in;
        move.moves = move.position != position;
        return move;
    }
    if (position == 0 && amps >= armature->pull_in)
        move = (bp_move){.moves = true,
                         .position = 1,
                         .seconds = armature->seconds_in,
                         .beyond = amps / armature->pull_in - 1};
    else if (position == 1 && amps <= armature->drop_out)
        move = (bp_move){.moves = true,
                         .position = 0,
                         .seconds = armature->seconds_out,
                         .beyond = 1 - amps / armature->drop_out};
    return move;
}
