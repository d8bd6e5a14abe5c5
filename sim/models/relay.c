/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Relay: a coil, what is across it, and contacts that follow the coil's current.
 */
#include <stdio.h>

#include "circuits/kinds/diode.h"
#include "circuits/kinds/relay.h"
#include "sim/winding.h"

/* Slots in the order of `elements`. A relay of the other pin pattern is wired the other way inside,
 * so its coil and contacts have places of their own. */
enum { COIL, SUPPRESSION, CONTACT, REST, OTHER_COIL, OTHER_CONTACT, OTHER_REST, N_RESISTORS };
enum { DIODE_FORWARD = N_RESISTORS, DIODE_REVERSED };

/* Operate 7 ms, release 3 ms: data-sheet typical of 12 V plug-in relays, from memory. */
static const double operate_seconds = 0.007, release_seconds = 0.003;

static bool has_diode(const bp_part *part) {
    return part->param[BP_RELAY_SUPPRESSION_DIODE] != BP_RELAY_DIODE_NONE;
}

static void diode_in_series(bp_builder *b, size_t anode, size_t cathode) {
    size_t inner = bp_build_node(b);
    bp_build_resistor(b, anode, inner);
    bp_build_diode(b, inner, cathode, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
}

static void elements(bp_builder *b, const bp_part *part) {
    static const size_t between[N_RESISTORS][2] = {
        [COIL] = {BP_RELAY_PIN_86, BP_RELAY_PIN_85},
        [SUPPRESSION] = {BP_RELAY_PIN_86, BP_RELAY_PIN_85},
        [CONTACT] = {BP_RELAY_PIN_30, BP_RELAY_PIN_87},
        [REST] = {BP_RELAY_PIN_30, BP_RELAY_PIN_87A},
        [OTHER_COIL] = {BP_RELAY_PIN_30, BP_RELAY_PIN_85},
        [OTHER_CONTACT] = {BP_RELAY_PIN_86, BP_RELAY_PIN_87},
        [OTHER_REST] = {BP_RELAY_PIN_86, BP_RELAY_PIN_87A}};
    for (size_t i = 0; i < N_RESISTORS; i++)
        bp_build_resistor(b, bp_build_own(b, part, between[i][0]),
                          bp_build_own(b, part, between[i][1]));
    if (!has_diode(part))
        return;
    bool at_86 = part->param[BP_RELAY_SUPPRESSION_DIODE] == BP_RELAY_DIODE_CATHODE_86;
    size_t cathode = bp_build_own(b, part, at_86 ? BP_RELAY_PIN_86 : BP_RELAY_PIN_85);
    size_t anode = bp_build_own(b, part, at_86 ? BP_RELAY_PIN_85 : BP_RELAY_PIN_86);
    diode_in_series(b, anode, cathode);
    diode_in_series(b, cathode, anode);
}

/* The coil's copper at 20 degC, and its voltages; a 24 V coil of the same power has four times the
 * resistance. */
static double coil_at_20(const bp_view *view) {
    double ohm =
        view->param[BP_RELAY_COIL] * (1 - bp_view_how_bad(view, BP_RELAY_COIL_SHORTED_TURNS, 0));
    return bp_view_has(view, BP_RELAY_WRONG_VOLTAGE) ? 4 * ohm : ohm;
}

static double pull_in_volts(const bp_view *view) {
    double volts = bp_view_how_bad(view, BP_RELAY_PULLS_IN_LATE, view->param[BP_RELAY_PULL_IN]);
    return bp_view_has(view, BP_RELAY_WRONG_VOLTAGE) ? 2 * volts : volts;
}

static double drop_out_volts(const bp_view *view) {
    double volts = view->param[BP_RELAY_DROP_OUT];
    return bp_view_has(view, BP_RELAY_WRONG_VOLTAGE) ? 2 * volts : volts;
}

static double coil_ohm(const bp_view *view) {
    if (bp_view_has(view, BP_RELAY_COIL_OPEN))
        return BP_OPEN_OHM;
    return bp_view_copper(view, BP_RELAY_PLACE, coil_at_20(view)) +
           bp_view_how_bad(view, BP_RELAY_COIL_RESISTANCE, 0);
}

static double suppression_ohm(const bp_view *view) {
    double ohm = view->param[BP_RELAY_SUPPRESSION_RESISTOR];
    if (isnan(ohm) || bp_view_has(view, BP_RELAY_SUPPRESSION_OPEN))
        ohm = BP_OPEN_OHM;
    return bp_view_how_bad(view, BP_RELAY_DIODE_SHORTED, ohm);
}

static double make_contact_ohm(const bp_view *view) {
    double apart = bp_view_how_bad(view, BP_RELAY_CONTACT_LEAK, BP_OPEN_OHM);
    if (view->position == 0 || bp_view_has(view, BP_RELAY_CONTACT_OPEN))
        return apart;
    return view->param[BP_RELAY_CONTACT] + bp_view_how_bad(view, BP_RELAY_CONTACT_RESISTANCE, 0);
}

static double rest_contact_ohm(const bp_view *view) {
    if (view->position != 0 || bp_view_has(view, BP_RELAY_CONTACT_87A_OPEN))
        return BP_OPEN_OHM;
    return view->param[BP_RELAY_CONTACT] +
           bp_view_how_bad(view, BP_RELAY_CONTACT_87A_RESISTANCE, 0);
}

static void values(const bp_view *view, double *value) {
    bool other = bp_view_has(view, BP_RELAY_WRONG_PATTERN);
    for (size_t i = 0; i < N_RESISTORS; i++)
        value[i] = BP_OPEN_OHM;
    value[other ? OTHER_COIL : COIL] = coil_ohm(view);
    value[other ? OTHER_CONTACT : CONTACT] = make_contact_ohm(view);
    value[other ? OTHER_REST : REST] = rest_contact_ohm(view);
    value[SUPPRESSION] = suppression_ohm(view);
    if (!has_diode(view->part))
        return;
    bool none =
        bp_view_has(view, BP_RELAY_SUPPRESSION_OPEN) || bp_view_has(view, BP_RELAY_DIODE_SHORTED);
    bool reversed = bp_view_has(view, BP_RELAY_DIODE_REVERSED);
    value[DIODE_FORWARD] = none || reversed ? BP_OPEN_OHM : BP_DIODE_SERIES_OHM;
    value[DIODE_REVERSED] = none || !reversed ? BP_OPEN_OHM : BP_DIODE_SERIES_OHM;
}

static double coil_amps(const bp_view *view) {
    return fabs(bp_view_current(view, COIL) + bp_view_current(view, OTHER_COIL));
}

static bp_move next(const bp_view *view) {
    const double ohm = coil_at_20(view);
    const bp_armature armature = {.amps = coil_amps(view),
                                  .pull_in = pull_in_volts(view) / ohm,
                                  .drop_out = drop_out_volts(view) / ohm,
                                  .seconds_in = operate_seconds,
                                  .seconds_out = release_seconds,
                                  .held_in = bp_view_has(view, BP_RELAY_CONTACT_WELDED) ||
                                             bp_view_has(view, BP_RELAY_STUCK_IN),
                                  .held_out = bp_view_has(view, BP_RELAY_STUCK_OUT)};
    return bp_armature_next(&armature, view->position);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    /* In volts on the coil as it is now, hot or cold, since that is what a meter can check. */
    const double ohm = bp_view_copper(view, BP_RELAY_PLACE, coil_at_20(view));
    const double volts = coil_amps(view) * ohm;
    const double needs = pull_in_volts(view) * ohm / coil_at_20(view);
    const double holds = drop_out_volts(view) * ohm / coil_at_20(view);
    out->says = view->position ? "in" : "out";
    if (view->position && volts > holds)
        snprintf(out->words, sizeof out->words, "is pulled in");
    else if (view->position)
        snprintf(out->words, sizeof out->words, "stays in though its coil has only %.1f V", volts);
    else if (volts >= needs)
        snprintf(out->words, sizeof out->words, "stays out though its coil has %.1f V", volts);
    else if (volts >= 1)
        snprintf(out->words, sizeof out->words,
                 "stays out: its coil has %.1f V and needs %.1f V to pull in", volts, needs);
    else
        snprintf(out->words, sizeof out->words, "is out");
}

static const char *const positions[] = {"out", "in"};
static const char *const says[] = {"in", "out", "chatter", NULL};

const bp_model bp_model_relay = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD,
    .kelvin_per_watt = 12,
};
