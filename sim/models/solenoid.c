/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Solenoid: a winding and a plunger that follows its current.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/solenoid.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum { WINDING, FIELD = WINDING + BP_WINDING_VALUES, LOSS };

static void elements(bp_builder *b, const bp_part *part) {
    bp_winding_elements(b, bp_build_own(b, part, BP_SOLENOID_PIN_1),
                        bp_build_own(b, part, BP_SOLENOID_PIN_2));
}

/* The winding's copper at 20 degC. Fewer turns take more current in proportion, so the ampere-turns
 * at a voltage stay. */
static double ohm_at_20(const bp_view *view) {
    return view->param[BP_SOLENOID_WINDING] *
           (1 - bp_view_how_bad(view, BP_SOLENOID_SHORTED_TURNS, 0));
}

static void values(const bp_view *view, double *value) {
    double ohm = bp_view_copper(view, BP_SOLENOID_PLACE, ohm_at_20(view)) +
                 bp_view_how_bad(view, BP_SOLENOID_RESISTANCE, 0);
    bp_winding_values(&value[WINDING], bp_view_has(view, BP_SOLENOID_OPEN) ? BP_OPEN_OHM : ohm,
                      bp_view_how_bad(view, BP_SOLENOID_GROUND_LEAK, BP_OPEN_OHM));
}

static double pull_in_volts(const bp_view *view) {
    return bp_view_how_bad(view, BP_SOLENOID_STIFF, view->param[BP_SOLENOID_PULL_IN]);
}

static bp_move next(const bp_view *view) {
    const bp_armature armature = {.amps = bp_winding_amps(view, WINDING),
                                  .pull_in = pull_in_volts(view) / ohm_at_20(view),
                                  .drop_out = view->param[BP_SOLENOID_DROP_OUT] / ohm_at_20(view),
                                  .seconds_in = view->param[BP_SOLENOID_PULL_TIME],
                                  .seconds_out = view->param[BP_SOLENOID_RELEASE_TIME],
                                  .held_in = bp_view_has(view, BP_SOLENOID_STUCK_PULLED),
                                  .held_out = bp_view_has(view, BP_SOLENOID_STUCK_OUT)};
    return bp_armature_next(&armature, view->position);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double ohm = bp_view_copper(view, BP_SOLENOID_PLACE, ohm_at_20(view));
    const double volts = bp_winding_amps(view, WINDING) * ohm;
    const double needs = pull_in_volts(view) * ohm / ohm_at_20(view);
    out->says = view->position ? "pulled" : "out";
    if (view->position && volts < view->param[BP_SOLENOID_DROP_OUT])
        snprintf(out->words, sizeof out->words,
                 "stays pulled in though its winding has only %.1f V", volts);
    else if (view->position)
        snprintf(out->words, sizeof out->words, "is pulled in");
    else if (volts >= needs)
        snprintf(out->words, sizeof out->words, "does not pull in though its winding has %.1f V",
                 volts);
    else if (volts >= 1)
        snprintf(out->words, sizeof out->words,
                 "does not pull in: its winding has %.1f V and needs %.1f V", volts, needs);
    else
        snprintf(out->words, sizeof out->words, "is out");
}

/* In time: its inductance, where the file tells it, and a loss across it that ends a spike; ohm for
 * each ohm of copper, from memory. */
static const double loss_per_ohm = 300;

static void elements_in_time(bp_builder *b, const bp_part *part) {
    if (isnan(part->param[BP_SOLENOID_INDUCTANCE])) {
        elements(b, part);
        return;
    }
    const size_t plus = bp_build_own(b, part, BP_SOLENOID_PIN_1);
    const size_t inner = bp_build_node(b);
    bp_winding_elements(b, inner, bp_build_own(b, part, BP_SOLENOID_PIN_2));
    bp_build_inductor(b, plus, inner);
    bp_build_resistor(b, plus, inner);
}

/* Shorted turns are a load on the field of the rest. */
static void values_in_time(const bp_view *view, double *value) {
    const double ohm = view->param[BP_SOLENOID_WINDING];
    const double turns = 1 - bp_view_how_bad(view, BP_SOLENOID_SHORTED_TURNS, 0);
    values(view, value);
    if (isnan(view->param[BP_SOLENOID_INDUCTANCE]))
        return;
    value[FIELD] = view->param[BP_SOLENOID_INDUCTANCE] * turns * turns;
    value[LOSS] = loss_per_ohm * ohm;
    if (turns < 1)
        value[LOSS] = fmin(value[LOSS], ohm * turns * turns / (1 - turns));
}

static const char *const positions[] = {"out", "pulled"};
static const char *const says[] = {"pulled", "out", "chatter", NULL};

static const bp_wave_model wave = {.elements = elements_in_time, .values = values_in_time};

const bp_model bp_model_solenoid = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD,
    .kelvin_per_watt = 1.5,
    .wave = &wave,
};
