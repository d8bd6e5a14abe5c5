/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Potentiometer: two parts of a track and a wiper.
 */
#include "circuits/kinds/potentiometer.h"

#include <math.h>

#include "sim/winding.h"

enum { UPPER, LOWER, WIPER };

/* Settings are steps of a quarter of the travel; the worn spot reaches less than one step. */
static const double n_steps = 4;

/* The wiper stays on the track. */
static const double least = 0.005, most = 0.995;

static void elements(bp_builder *b, const bp_part *part) {
    size_t tap = bp_build_node(b);
    bp_build_resistor(b, bp_build_own(b, part, BP_POT_PIN_1), tap);
    bp_build_resistor(b, tap, bp_build_own(b, part, BP_POT_PIN_3));
    bp_build_resistor(b, tap, bp_build_own(b, part, BP_POT_PIN_2));
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    double rest = param[BP_POT_AT_REST], full = param[BP_POT_AT_FULL];
    double travel = view->setting / n_steps + bp_view_how_bad(view, BP_POT_SHIFTED, 0);
    double share = fmin(fmax(rest + travel * (full - rest), least), most);
    value[UPPER] = (1 - share) * param[BP_POT_RESISTANCE];
    value[LOWER] = share * param[BP_POT_RESISTANCE];
    if (bp_view_has(view, BP_POT_TRACK_OPEN))
        value[share < 0.5 ? UPPER : LOWER] = BP_OPEN_OHM;
    value[WIPER] = bp_view_how_bad(view, BP_POT_WIPER_RESISTANCE, param[BP_POT_WIPER]);
    if (bp_view_has(view, BP_POT_WIPER_OPEN) ||
        (bp_view_has(view, BP_POT_DEAD_SPOT) && view->setting == 0))
        value[WIPER] = BP_OPEN_OHM;
}

const bp_model bp_model_potentiometer = {.elements = elements, .values = values};
