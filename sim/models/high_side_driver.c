/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Output stage of a module: switches `out` to pin 30 while it is asked to and the module is alive.
 */
#include "circuits/kinds/high_side_driver.h"

#include "circuits/kinds/diode.h"
#include "sim/module.h"
#include "sim/winding.h"

enum { OUTPUT, SUPPLY, BACK };

/* Once awake a module keeps on this much below the voltage it starts at, V. */
static const double hysteresis = 0.5;

static const bp_stage stage = {BP_HIGH_SIDE_OUTPUT_OPEN, BP_HIGH_SIDE_OUTPUT_SHORTED,
                               BP_HIGH_SIDE_WEAK, BP_HIGH_SIDE_LEAKY};

static size_t feed_pin(const bp_part *part) {
    return bp_module_is_wired(part, BP_HIGH_SIDE_PIN_15) ? BP_HIGH_SIDE_PIN_15
                                                         : BP_HIGH_SIDE_PIN_30;
}

static void elements(bp_builder *b, const bp_part *part) {
    size_t feed = bp_build_own(b, part, BP_HIGH_SIDE_PIN_30);
    size_t out = bp_build_own(b, part, BP_HIGH_SIDE_PIN_OUT);
    bp_build_resistor(b, feed, out);
    bp_build_resistor(b, bp_build_own(b, part, feed_pin(part)),
                      bp_build_own(b, part, BP_HIGH_SIDE_PIN_31));
    size_t back = bp_build_node(b);
    bp_build_resistor(b, out, back);
    bp_build_diode(b, back, feed, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    value[OUTPUT] = bp_stage_ohm(view, &stage, view->position == BP_STAGE_ON,
                                 param[BP_HIGH_SIDE_ON_RESISTANCE], param[BP_HIGH_SIDE_LEAKAGE]);
    value[SUPPLY] = 12 / param[BP_HIGH_SIDE_DRAW]; /* the draw is stated at 12 V */
    value[BACK] = BP_DIODE_SERIES_OHM;
}

static double feed_volts(const bp_view *view) {
    return bp_view_pin_volts(view, feed_pin(view->part)) -
           bp_view_pin_volts(view, BP_HIGH_SIDE_PIN_31);
}

static bool alive(const bp_view *view) {
    return feed_volts(view) >=
           view->param[BP_HIGH_SIDE_WORKS_FROM] - (view->position == BP_STAGE_OFF ? 0 : hysteresis);
}

static bp_move next(const bp_view *view) {
    bool asked =
        view->setting == BP_HIGH_SIDE_SET_ON && !bp_view_has(view, BP_HIGH_SIDE_NO_REQUEST);
    return bp_stage_next(view, asked && alive(view), bp_view_current(view, OUTPUT),
                         view->param[BP_HIGH_SIDE_LIMIT]);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    bp_stage_behave(view, view->setting == BP_HIGH_SIDE_SET_ON && !alive(view), feed_volts(view),
                    "feeds its load", out);
}

/* Forwards, or backwards: 12 V put on an output whose own feed is gone. */
static bool strained(const bp_view *view, char *words, size_t size) {
    return bp_stage_strained(view, OUTPUT, view->param[BP_HIGH_SIDE_LIMIT], words, size) ||
           bp_stage_strained(view, BACK, BP_STAGE_BACKWARDS_MOST, words, size);
}

const bp_model bp_model_high_side_driver = {
    .elements = elements,
    .values = values,
    .n_positions = BP_STAGE_POSITIONS,
    .positions = bp_stage_positions,
    .next = next,
    .behave = behave,
    .output_on = BP_HIGH_SIDE_SET_ON,
    .strained = strained,
    .says = bp_stage_says,
    .kelvin_per_watt = 5,
};
