/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thermal switch: one contact on a disc that snaps over when hot and back when cold.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/thermal_switch.h"
#include "sim/model.h"

enum { COLD, HOT };
static const char *const positions[] = {"cold", "hot"};

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_THERMAL_SWITCH_PIN_1),
                      bp_build_own(b, part, BP_THERMAL_SWITCH_PIN_2));
}

static bool is_closed(const bp_view *view) {
    if (bp_view_fault(view, BP_THERMAL_SWITCH_STUCK_OPEN, BP_NONE))
        return false;
    if (bp_view_fault(view, BP_THERMAL_SWITCH_STUCK_CLOSED, BP_NONE))
        return true;
    bool closes_when_hot =
        view->param[BP_THERMAL_SWITCH_CLOSES] > view->param[BP_THERMAL_SWITCH_OPENS];
    return (view->position == HOT) == closes_when_hot;
}

static void values(const bp_view *view, double *value) {
    const bp_fault *burnt = bp_view_fault(view, BP_THERMAL_SWITCH_RESISTANCE, BP_NONE);
    value[0] = is_closed(view) ? view->param[BP_THERMAL_SWITCH_OHM] + (burnt ? burnt->severity : 0)
                               : BP_OPEN_OHM;
}

/* The temperature is one of the state: it has stood for long, so the disc comes first of all. */
static bp_move next(const bp_view *view) {
    double closes = view->param[BP_THERMAL_SWITCH_CLOSES];
    double opens = view->param[BP_THERMAL_SWITCH_OPENS];
    const bp_fault *shifted = bp_view_fault(view, BP_THERMAL_SWITCH_SHIFTED, BP_NONE);
    double snap = shifted ? shifted->severity : fmax(closes, opens);
    double back = snap - fabs(closes - opens);
    double celsius = view->param[BP_THERMAL_SWITCH_FEELS] > BP_THERMAL_SWITCH_FEELS_ENGINE
                         ? view->around->ambient
                         : view->around->engine;
    bool moves = view->position == COLD ? celsius >= snap : celsius <= back;
    return (bp_move){.moves = moves,
                     .position = view->position == COLD ? HOT : COLD,
                     .seconds = 0,
                     .beyond = fabs(celsius - (view->position == COLD ? snap : back)) /
                               fabs(closes - opens)};
}

static const char *const says[] = {"open", "closed", NULL};

static void behave(const bp_view *view, bp_behaviour *out) {
    bool closed = is_closed(view);
    out->says = says[closed];
    snprintf(out->words, sizeof out->words, "is %s", says[closed]);
}

const bp_model bp_model_thermal_switch = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .kelvin_per_watt = 15,
};
