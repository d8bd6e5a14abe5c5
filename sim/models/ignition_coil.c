/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition coil. To steady current it is copper; in a run its windings are coupled, turns that are
 * shorted load them, and its insulation breaks down at its own voltage.
 */
#include <stdio.h>

#include "circuits/kinds/ignition_coil.h"
#include "sim/gap.h"
#include "sim/module.h"
#include "sim/winding.h"

enum { PRIMARY, SECONDARY, GROUND_LEAK, N_STEADY };

/* Slots that only a run has: the fields, what shorted turns and iron take out of them, and the
 * secondary's way to ground. */
enum {
    PRIMARY_FIELD = N_STEADY,
    PRIMARY_LOSS,
    SECONDARY_FIELD,
    SECONDARY_LOSS,
    COUPLING,
    STRAY,
    STRAY_LOSS,
    CAPACITANCE,
    INSULATION,
};
enum { FLASHES = BP_GAP_MEMORY, N_MEMORY };

/* Volts that an arc through broken insulation holds: from memory. */
static const bp_arc inside_arc = BP_SPARK(1500);

/* Iron of the primary's own, ohm across it for each ohm of copper: next to nothing beside the
 * secondary's share. */
static const double no_loss = 1e9;

/* What the primary's turns are to each other, and the loss that damps what they ring with the field
 * that does not reach the secondary: from memory. */
static const double stray_farad = 1e-9, stray_ohm = 400;

/* A coil for two plugs has the other end of its secondary on a pin of its own. */
static size_t foot_pin(const bp_part *part) {
    return bp_module_is_wired(part, BP_IGNITION_PIN_4B) ? BP_IGNITION_PIN_4B : BP_IGNITION_PIN_1;
}

static void elements(bp_builder *b, const bp_part *part) {
    const size_t one = bp_build_own(b, part, BP_IGNITION_PIN_1);
    bp_build_resistor(b, bp_build_own(b, part, BP_IGNITION_PIN_15), one);
    bp_build_resistor(b, bp_build_own(b, part, BP_IGNITION_PIN_4),
                      bp_build_own(b, part, foot_pin(part)));
    bp_build_resistor(b, one, bp_build_body(b));
}

/* The secondary's voltage is negative at 4 when the primary lets go, as plugs like it. */
static void elements_in_time(bp_builder *b, const bp_part *part) {
    const size_t one = bp_build_own(b, part, BP_IGNITION_PIN_1);
    const size_t four = bp_build_own(b, part, BP_IGNITION_PIN_4);
    const size_t primary = bp_build_node(b), secondary = bp_build_node(b);
    const size_t stray = bp_build_node(b);
    bp_build_resistor(b, bp_build_own(b, part, BP_IGNITION_PIN_15), primary);
    bp_build_resistor(b, bp_build_own(b, part, foot_pin(part)), secondary);
    bp_build_resistor(b, one, bp_build_body(b));
    const size_t first = bp_build_inductor(b, primary, one);
    bp_build_resistor(b, primary, one);
    const size_t second = bp_build_inductor(b, four, secondary);
    bp_build_resistor(b, four, secondary);
    bp_build_coupling(b, first, second);
    bp_build_capacitor(b, primary, stray);
    bp_build_resistor(b, stray, one);
    bp_build_capacitor(b, four, bp_build_body(b));
    bp_gap_elements(b, four, bp_build_body(b));
}

static double winding_ohm(const bp_view *view, int param, int shorted_turns) {
    return bp_view_copper(view, BP_IGNITION_PLACE,
                          view->param[param] * (1 - bp_view_how_bad(view, shorted_turns, 0)));
}

static void values(const bp_view *view, double *value) {
    bool open = bp_view_has(view, BP_IGNITION_PRIMARY_OPEN);
    bool secondary_open = bp_view_has(view, BP_IGNITION_SECONDARY_OPEN);
    value[PRIMARY] =
        open ? BP_OPEN_OHM
             : winding_ohm(view, BP_IGNITION_PRIMARY, BP_IGNITION_PRIMARY_SHORTED_TURNS) +
                   bp_view_how_bad(view, BP_IGNITION_PRIMARY_RESISTANCE, 0);
    value[SECONDARY] = secondary_open ? BP_OPEN_OHM
                                      : winding_ohm(view, BP_IGNITION_SECONDARY,
                                                    BP_IGNITION_SECONDARY_SHORTED_TURNS);
    value[GROUND_LEAK] = bp_view_how_bad(view, BP_IGNITION_PRIMARY_GROUND_LEAK, BP_OPEN_OHM);
}

/* Shorted turns, a share of a winding, are a transformer's winding with its own copper as its load:
 * what that is across the turns that are left, ohm. */
static double shorted_ohm(const bp_view *view, int param, double share) {
    const double left = 1 - share;
    return share > 0 ? view->param[param] * left * left / share : no_loss;
}

static double beside(double a, double b) { return a * b / (a + b); }

static void values_in_time(const bp_view *view, double *value) {
    const double *param = view->param;
    const double primary = bp_view_how_bad(view, BP_IGNITION_PRIMARY_SHORTED_TURNS, 0);
    const double secondary = bp_view_how_bad(view, BP_IGNITION_SECONDARY_SHORTED_TURNS, 0);
    const double turns = param[BP_IGNITION_RATIO] * (1 - secondary);
    values(view, value);
    value[PRIMARY_FIELD] = param[BP_IGNITION_INDUCTANCE] * (1 - primary) * (1 - primary);
    value[PRIMARY_LOSS] = shorted_ohm(view, BP_IGNITION_PRIMARY, primary);
    value[SECONDARY_FIELD] = param[BP_IGNITION_INDUCTANCE] * turns * turns;
    value[SECONDARY_LOSS] =
        beside(param[BP_IGNITION_LOSS], shorted_ohm(view, BP_IGNITION_SECONDARY, secondary));
    value[COUPLING] = param[BP_IGNITION_COUPLING];
    value[STRAY] = stray_farad;
    value[STRAY_LOSS] = stray_ohm;
    value[CAPACITANCE] = param[BP_IGNITION_CAPACITANCE];
    bp_gap_values(&value[INSULATION], view->memory, &inside_arc);
}

/* The current that a good coil carries at its rated voltage is bounded by the driver and the wiring
 * too, so the coil counts as weak only well below. */
static void behave(const bp_view *view, bp_behaviour *out) {
    double rated = view->param[BP_IGNITION_VOLTS] / view->param[BP_IGNITION_PRIMARY];
    bp_winding_behave(fabs(bp_view_current(view, PRIMARY)), rated, out);
}

enum { TELL_BREAKDOWN };
static const bp_wave_tell tells[] = {
    [TELL_BREAKDOWN] = {.id = "breaks-down",
                        .words = "the insulation of %s breaks down inside",
                        .unit = BP_UNIT_VOLT,
                        .value_id = "insulation-breakdown",
                        .value_words = "voltage at which its insulation breaks down"},
    {.id = NULL}};

static bool instant(bp_moment *m) {
    double volts;
    const bp_gap insulation = {INSULATION, m->memory,
                               bp_view_how_bad(&m->view, BP_IGNITION_SECONDARY_BREAKS_DOWN,
                                               m->view.param[BP_IGNITION_INSULATION]),
                               &inside_arc};
    const bp_gap_does does = bp_gap_instant(m, &insulation, &volts);
    if (does == BP_GAP_FIRES) {
        m->memory[FLASHES]++;
        bp_moment_tell(m, TELL_BREAKDOWN, fabs(volts));
    }
    return does != BP_GAP_STAYS;
}

static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    if (m->memory[FLASHES] == 0)
        return;
    out->says = "breaks-down";
    snprintf(out->words, sizeof out->words,
             "breaks down inside: its high voltage goes to ground there");
}

static const char *const says_in_time[] = {"breaks-down", NULL};

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .instant = instant,
                                   .tells = tells,
                                   .ramp = 5e-8,
                                   .behave = behave_in_time,
                                   .says = says_in_time};

const bp_model bp_model_ignition_coil = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = bp_winding_says,
    .kelvin_per_watt = 2,
    .wave = &wave,
};
