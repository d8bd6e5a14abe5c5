/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Output stage of a module: switches `out` to its ground while it is asked to and the module is
 * alive.
 */
#include "circuits/kinds/low_side_driver.h"
#include "sim/module.h"
#include "sim/winding.h"

enum { OUTPUT, SUPPLY };

/* Once awake a module keeps on this much below the voltage it starts at, V. */
static const double hysteresis = 0.5;

static const bp_stage stage = {BP_DRIVER_OUTPUT_OPEN, BP_DRIVER_OUTPUT_SHORTED, BP_DRIVER_WEAK,
                               BP_DRIVER_LEAKY};

static void elements(bp_builder *b, const bp_part *part) {
    size_t ground = bp_build_own(b, part, BP_DRIVER_PIN_31);
    bp_build_resistor(b, bp_build_own(b, part, BP_DRIVER_PIN_OUT), ground);
    bp_build_resistor(b, bp_build_own(b, part, BP_DRIVER_PIN_15), ground);
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    value[OUTPUT] = bp_stage_ohm(view, &stage, view->position == BP_STAGE_ON,
                                 param[BP_DRIVER_ON_RESISTANCE], param[BP_DRIVER_LEAKAGE]);
    value[SUPPLY] = 12 / param[BP_DRIVER_DRAW]; /* the draw is stated at 12 V */
}

static double feed_volts(const bp_view *view) {
    return bp_view_pin_volts(view, BP_DRIVER_PIN_15) - bp_view_pin_volts(view, BP_DRIVER_PIN_31);
}

static bool alive(const bp_view *view) {
    double least =
        view->param[BP_DRIVER_WORKS_FROM] - (view->position == BP_STAGE_OFF ? 0 : hysteresis);
    return !bp_module_is_wired(view->part, BP_DRIVER_PIN_15) || feed_volts(view) >= least;
}

static bool asked(const bp_view *view) {
    return view->setting == BP_DRIVER_SET_ON && !bp_view_has(view, BP_DRIVER_NO_REQUEST);
}

static bp_move next(const bp_view *view) {
    return bp_stage_next(view, asked(view) && alive(view), bp_view_current(view, OUTPUT),
                         view->param[BP_DRIVER_LIMIT]);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    bool dead = view->setting == BP_DRIVER_SET_ON && !alive(view);
    bp_stage_behave(view, dead, dead ? feed_volts(view) : 0, "switches its load to ground", out);
}

/* A relay driver that says nothing of a limit stands this much, A: data-sheet typical, from
 * memory. */
#define UNLIMITED_MOST 3.0

static bool strained(const bp_view *view, char *words, size_t size) {
    const double limit = view->param[BP_DRIVER_LIMIT];
    return bp_stage_strained(view, OUTPUT, isnan(limit) ? UNLIMITED_MOST : limit, words, size);
}

const bp_model bp_model_low_side_driver = {
    .elements = elements,
    .values = values,
    .n_positions = BP_STAGE_POSITIONS,
    .positions = bp_stage_positions,
    .next = next,
    .behave = behave,
    .output_on = BP_DRIVER_SET_ON,
    .strained = strained,
    .says = bp_stage_says,
    .kelvin_per_watt = 5,
};
