/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Zener diode: a junction from A to K, and from K to A a junction behind a voltage and the slope's
 * resistance. That of a part fitted the wrong way round lies beside it.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/diode.h"
#include "circuits/kinds/zener.h"
#include "sim/winding.h"

/* Slots: each way round has the resistor of its junction, the resistor and the voltage of its
 * breakdown. */
enum { FORWARD, SLOPE, VOLTS, N_WAY };
enum { RIGHT = 0, WRONG = RIGHT + N_WAY, ACROSS = WRONG + N_WAY };

static void way_elements(bp_builder *b, size_t anode, size_t cathode) {
    const size_t inner = bp_build_node(b), behind = bp_build_node(b), over = bp_build_node(b);
    bp_build_resistor(b, anode, inner);
    bp_build_diode(b, inner, cathode, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
    bp_build_resistor(b, cathode, behind);
    bp_build_diode(b, behind, over, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
    bp_build_voltage(b, over, anode);
}

static void elements(bp_builder *b, const bp_part *part) {
    const size_t anode = bp_build_own(b, part, BP_ZENER_PIN_A);
    const size_t cathode = bp_build_own(b, part, BP_ZENER_PIN_K);
    way_elements(b, anode, cathode);
    way_elements(b, cathode, anode);
    bp_build_resistor(b, anode, cathode);
}

static double zener_volts(const bp_view *view) {
    return bp_view_how_bad(view, BP_ZENER_WRONG_VOLTAGE, view->param[BP_ZENER_VOLTS]);
}

static void way_values(const bp_view *view, double *value, bool there) {
    const double amps = view->param[BP_ZENER_TEST_CURRENT], slope = view->param[BP_ZENER_SLOPE];
    /* What the junction and the slope drop at the test current (25.85 mV: 27 degC, the solver's).
     */
    const double junction =
        BP_DIODE_EMISSION * 25.85e-3 * log1p(amps / BP_DIODE_SATURATION) + slope * amps;
    value[FORWARD] = there ? BP_DIODE_SERIES_OHM : BP_OPEN_OHM;
    value[SLOPE] = there ? slope : BP_OPEN_OHM;
    value[VOLTS] = zener_volts(view) - junction;
}

static void values(const bp_view *view, double *value) {
    const bool whole = !bp_view_has(view, BP_ZENER_OPEN);
    const bool reversed = bp_view_has(view, BP_ZENER_REVERSED);
    way_values(view, &value[RIGHT], whole && !reversed);
    way_values(view, &value[WRONG], whole && reversed);
    value[ACROSS] =
        bp_view_how_bad(view, BP_ZENER_SHORT, bp_view_how_bad(view, BP_ZENER_LEAKY, BP_OPEN_OHM));
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double volts =
        bp_view_pin_volts(view, BP_ZENER_PIN_K) - bp_view_pin_volts(view, BP_ZENER_PIN_A);
    double amps = 0;
    for (size_t way = RIGHT; way <= WRONG; way += N_WAY)
        amps +=
            fabs(bp_view_current(view, way + SLOPE)) + fabs(bp_view_current(view, way + FORWARD));
    amps += fabs(bp_view_current(view, ACROSS));
    const double watts = amps * fabs(volts);
    out->value = watts;
    out->unit = BP_UNIT_WATT;
    if (watts > view->param[BP_ZENER_POWER]) {
        out->says = "too-hot";
        snprintf(out->words, sizeof out->words, "gets too hot: %.1f W in a diode for %g W", watts,
                 view->param[BP_ZENER_POWER]);
    } else if (amps < view->param[BP_ZENER_TEST_CURRENT] / 100) {
        out->says = "blocks";
        snprintf(out->words, sizeof out->words, "blocks");
    } else {
        out->says = "conducts";
        snprintf(out->words, sizeof out->words, "conducts with %.2f V across it", volts);
    }
}

static const char *const says[] = {"blocks", "conducts", "too-hot", NULL};

const bp_model bp_model_zener = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .kelvin_per_watt = 50,
};
