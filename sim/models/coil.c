/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A copper winding of any sort.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/coil.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum { WINDING, FIELD = WINDING + BP_WINDING_VALUES, LOSS };

static void elements(bp_builder *b, const bp_part *part) {
    bp_winding_elements(b, bp_build_own(b, part, BP_COIL_PIN_1),
                        bp_build_own(b, part, BP_COIL_PIN_2));
}

static void values(const bp_view *view, double *value) {
    const bool open = bp_view_has(view, BP_COIL_OPEN);
    const double turns = 1 - bp_view_how_bad(view, BP_COIL_SHORTED_TURNS, 0);
    const double copper = bp_view_copper(view, BP_COIL_PLACE, view->param[BP_COIL_WINDING] * turns);
    bp_winding_values(&value[WINDING],
                      open ? BP_OPEN_OHM : copper + bp_view_how_bad(view, BP_COIL_RESISTANCE, 0),
                      bp_view_how_bad(view, BP_COIL_GROUND_LEAK, BP_OPEN_OHM));
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double rated = view->param[BP_COIL_VOLTS] / view->param[BP_COIL_WINDING];
    bp_winding_behave(bp_winding_amps(view, WINDING), rated, out);
}

/* A loss across the field, ohm for each ohm of copper: what eddy currents and the arc at the
 * contact leave of a spike; from memory. */
static const double loss_per_ohm = 1000;

/* Without an inductance in the file it is nothing but copper. */
static void elements_in_time(bp_builder *b, const bp_part *part) {
    if (isnan(part->param[BP_COIL_INDUCTANCE])) {
        elements(b, part);
        return;
    }
    const size_t plus = bp_build_own(b, part, BP_COIL_PIN_1);
    const size_t inner = bp_build_node(b);
    bp_winding_elements(b, inner, bp_build_own(b, part, BP_COIL_PIN_2));
    bp_build_inductor(b, plus, inner);
    bp_build_resistor(b, plus, inner);
}

static void values_in_time(const bp_view *view, double *value) {
    const double turns = 1 - bp_view_how_bad(view, BP_COIL_SHORTED_TURNS, 0);
    values(view, value);
    if (isnan(view->param[BP_COIL_INDUCTANCE]))
        return;
    value[FIELD] = view->param[BP_COIL_INDUCTANCE] * turns * turns;
    value[LOSS] = loss_per_ohm * view->param[BP_COIL_WINDING];
    if (turns < 1) /* the shorted ones are a load on the field */
        value[LOSS] = fmin(value[LOSS], view->param[BP_COIL_WINDING] * turns * turns / (1 - turns));
}

static const bp_wave_model wave = {.elements = elements_in_time, .values = values_in_time};

const bp_model bp_model_coil = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = bp_winding_says,
    .kelvin_per_watt = 4,
    .wave = &wave,
};
