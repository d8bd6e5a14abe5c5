/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Solid-state relay: a control input that minds its polarity, and a switched path that conducts
 * backwards like every transistor of this sort.
 */
#include "circuits/kinds/solid_state_relay.h"

#include "circuits/kinds/diode.h"
#include "sim/module.h"
#include "sim/winding.h"

enum { OUTPUT, CONTROL, BACK };

static const bp_stage stage = {BP_SOLID_STATE_OUTPUT_OPEN, BP_SOLID_STATE_OUTPUT_SHORTED,
                               BP_SOLID_STATE_WEAK, BP_SOLID_STATE_LEAKY};

static void elements(bp_builder *b, const bp_part *part) {
    size_t feed = bp_build_own(b, part, BP_SOLID_STATE_PIN_30);
    size_t out = bp_build_own(b, part, BP_SOLID_STATE_PIN_87);
    size_t control = bp_build_node(b), back = bp_build_node(b);
    bp_build_resistor(b, feed, out);
    bp_build_resistor(b, bp_build_own(b, part, BP_SOLID_STATE_PIN_86), control);
    bp_build_diode(b, control, bp_build_own(b, part, BP_SOLID_STATE_PIN_85), BP_DIODE_SATURATION,
                   BP_DIODE_EMISSION);
    bp_build_resistor(b, out, back);
    bp_build_diode(b, back, feed, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    value[OUTPUT] =
        bp_stage_ohm(view, &stage, view->position == BP_STAGE_ON,
                     param[BP_SOLID_STATE_ON_RESISTANCE], param[BP_SOLID_STATE_LEAKAGE]);
    value[CONTROL] = bp_view_has(view, BP_SOLID_STATE_CONTROL_OPEN) ? BP_OPEN_OHM
                                                                    : param[BP_SOLID_STATE_CONTROL];
    value[BACK] = BP_DIODE_SERIES_OHM;
}

/* Asked for by the voltage at its control pins. */
static bool asked(const bp_view *view) {
    double volts = bp_view_pin_volts(view, BP_SOLID_STATE_PIN_86) -
                   bp_view_pin_volts(view, BP_SOLID_STATE_PIN_85);
    int threshold =
        view->position == BP_STAGE_OFF ? BP_SOLID_STATE_PULL_IN : BP_SOLID_STATE_DROP_OUT;
    return volts >= view->param[threshold] && !bp_view_has(view, BP_SOLID_STATE_CONTROL_OPEN);
}

static bp_move next(const bp_view *view) {
    return bp_stage_next(view, asked(view), bp_view_current(view, OUTPUT),
                         view->param[BP_SOLID_STATE_LIMIT]);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    bp_stage_behave(view, false, 0, "feeds its load", out);
}

/* One that says nothing of a limit stands this much, A: the size of plug-in relays that it takes
 * the place of, from memory. */
#define UNLIMITED_MOST 30.0

static bool strained(const bp_view *view, char *words, size_t size) {
    const double limit = view->param[BP_SOLID_STATE_LIMIT];
    const double most = isnan(limit) ? UNLIMITED_MOST : limit;
    return bp_stage_strained(view, OUTPUT, most, words, size) ||
           bp_stage_strained(view, BACK, most, words, size);
}

const bp_model bp_model_solid_state_relay = {
    .elements = elements,
    .values = values,
    .n_positions = BP_STAGE_POSITIONS,
    .positions = bp_stage_positions,
    .next = next,
    .behave = behave,
    .strained = strained,
    .says = bp_stage_says,
    .kelvin_per_watt = 10,
};
