/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Silicon diode: junction and series resistance one way, and the places of its faults.
 */
#include "circuits/kinds/diode.h"
#include "sim/winding.h"

enum { SERIES, ACROSS, REVERSED };

static void elements(bp_builder *b, const bp_part *part) {
    size_t anode = bp_build_own(b, part, BP_DIODE_PIN_A);
    size_t cathode = bp_build_own(b, part, BP_DIODE_PIN_K);
    size_t inner = bp_build_node(b), other = bp_build_node(b);
    bp_build_resistor(b, anode, inner);
    bp_build_resistor(b, anode, cathode);
    bp_build_resistor(b, cathode, other);
    bp_build_diode(b, inner, cathode, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
    bp_build_diode(b, other, anode, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
}

static void values(const bp_view *view, double *value) {
    double series = bp_view_has(view, BP_DIODE_OPEN) ? BP_OPEN_OHM : view->param[BP_DIODE_SERIES];
    bool reversed = bp_view_has(view, BP_DIODE_REVERSED);
    value[SERIES] = reversed ? BP_OPEN_OHM : series;
    value[REVERSED] = reversed ? series : BP_OPEN_OHM;
    value[ACROSS] =
        bp_view_how_bad(view, BP_DIODE_SHORT, bp_view_how_bad(view, BP_DIODE_LEAKY, BP_OPEN_OHM));
}

const bp_model bp_model_diode = {
    .elements = elements,
    .values = values,
    .kelvin_per_watt = 50,
};
