/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Three-brush wiper motor with park switch. Each fed brush is a winding of its own on one rotor:
 * the fast one has fewer turns, so less back-EMF and less resistance, and turns faster at the same
 * voltage.
 */
#include <stdio.h>

#include "circuits/kinds/wiper_motor.h"
#include "sim/rotor.h"
#include "sim/winding.h"

enum {
    LOAD,
    SLOW = LOAD + BP_ROTOR_LOAD_VALUES,
    FAST = SLOW + BP_ROTOR_WINDING_VALUES,
    COMMON = FAST + BP_ROTOR_WINDING_VALUES,
    FEED_CONTACT,
    BRAKE_CONTACT
};

/* Blades on wet glass through the linkage, and the bare gear motor; shares of rated torque from
 * memory. */
static const bp_load wet_glass = {0.80, 0.20, 0}, bare = {0.25, 0.10, 0};

/* The common brush's own part of the armature circuit, small so that its place does not matter. */
static const double common_ohm = 1e-3;

/* Shares of the speed that belongs to the fed brush: common practice. */
static const double weak = 0.7, fast = 1.25;

static void elements(bp_builder *b, const bp_part *part) {
    size_t common = bp_build_node(b);
    size_t feed = bp_build_own(b, part, BP_WIPER_PIN_53A);
    size_t park = bp_build_own(b, part, BP_WIPER_PIN_53E);
    size_t ground = bp_build_own(b, part, BP_WIPER_PIN_31);
    const bp_rotor rotor = bp_rotor_load(b);
    bp_rotor_winding(b, bp_build_own(b, part, BP_WIPER_PIN_53), common, &rotor);
    bp_rotor_winding(b, bp_build_own(b, part, BP_WIPER_PIN_53B), common, &rotor);
    bp_build_resistor(b, common, ground);
    bp_build_resistor(b, feed, park);
    bp_build_resistor(b, park, ground);
}

typedef struct winding {
    double ohm, back_emf; /* at 20 degC and rated speed, turns all good */
} winding;

static winding slow_winding(const double *param) {
    double ohm = param[BP_WIPER_VOLTS] / param[BP_WIPER_STALL];
    return (winding){ohm, param[BP_WIPER_VOLTS] - param[BP_WIPER_CURRENT] * ohm};
}

/* The turns between the fast brush and the common one, such that at the rated voltage the load is
 * turned `fast` times faster: with resistance and back-EMF both as the turns, V = E_f r + T(r) I R,
 * since i_f = T(r) I E / E_f. */
static winding fast_winding(const double *param) {
    winding slow = slow_winding(param);
    double ratio = param[BP_WIPER_FAST];
    double torque = wet_glass.friction + wet_glass.proportional * ratio;
    double back_emf = (param[BP_WIPER_VOLTS] - torque * param[BP_WIPER_CURRENT] * slow.ohm) / ratio;
    return (winding){slow.ohm * back_emf / slow.back_emf, back_emf};
}

static void brush_values(const bp_view *view, double *value, winding w, bool open) {
    double turns = 1 - bp_view_how_bad(view, BP_WIPER_SHORTED_TURNS, 0);
    double ohm = bp_view_copper(view, BP_WIPER_PLACE, (w.ohm - common_ohm) * turns);
    double per_amp =
        w.back_emf / slow_winding(view->param).back_emf / view->param[BP_WIPER_CURRENT];
    bp_rotor_winding_values(value, open ? BP_OPEN_OHM : ohm, turns * w.back_emf, turns * per_amp);
}

static bp_load load_of(const bp_view *view) {
    winding slow = slow_winding(view->param);
    bp_load load = bp_view_has(view, BP_WIPER_UNLOADED) ? bare : wet_glass;
    load.friction += bp_view_how_bad(view, BP_WIPER_BINDING, 0);
    load.proportional +=
        bp_rotor_short_drag(bp_view_how_bad(view, BP_WIPER_SHORTED_TURNS, 0), slow.back_emf,
                            slow.ohm, view->param[BP_WIPER_CURRENT]);
    if (bp_view_has(view, BP_WIPER_SEIZED))
        load.proportional = BP_ROTOR_SEIZED;
    return load;
}

/* The cam joins 53e to the feed while sweeping and to ground when parked. */
static void park_switch_values(const bp_view *view, double *value) {
    bool sweeping = view->setting == BP_WIPER_SWEEPING;
    bool to_feed = (sweeping && !bp_view_has(view, BP_WIPER_BRAKE_WELDED)) ||
                   bp_view_has(view, BP_WIPER_PARK_WELDED);
    bool to_ground = !to_feed;
    double closed = view->param[BP_WIPER_PARK_CONTACT];
    double apart = bp_view_how_bad(view, BP_WIPER_PARK_BRIDGED, BP_OPEN_OHM);
    value[FEED_CONTACT] = apart;
    value[BRAKE_CONTACT] = apart;
    if (to_feed && !bp_view_has(view, BP_WIPER_PARK_OPEN))
        value[FEED_CONTACT] = closed + bp_view_how_bad(view, BP_WIPER_PARK_RESISTANCE, 0);
    if (to_ground && !bp_view_has(view, BP_WIPER_BRAKE_OPEN))
        value[BRAKE_CONTACT] = closed + bp_view_how_bad(view, BP_WIPER_BRAKE_RESISTANCE, 0);
}

static void values(const bp_view *view, double *value) {
    brush_values(view, &value[SLOW], slow_winding(view->param),
                 bp_view_has(view, BP_WIPER_SLOW_BRUSH_OPEN));
    brush_values(view, &value[FAST], fast_winding(view->param),
                 bp_view_has(view, BP_WIPER_FAST_BRUSH_OPEN));
    const bp_load load = load_of(view);
    bp_rotor_load_values(&value[LOAD], &load);
    value[COMMON] = bp_view_has(view, BP_WIPER_COMMON_BRUSH_OPEN)
                        ? BP_OPEN_OHM
                        : common_ohm + bp_view_how_bad(view, BP_WIPER_WORN_BRUSHES, 0);
    park_switch_values(view, value);
}

static void behave_standing(const bp_view *view, double taken, bp_behaviour *out) {
    if (taken > 0.3 * view->param[BP_WIPER_CURRENT]) {
        out->says = "stalled";
        snprintf(out->words, sizeof out->words, "stands still and takes %.1f A", taken);
    } else if (view->setting == BP_WIPER_PARKED) {
        out->says = "parked";
        snprintf(out->words, sizeof out->words, "is parked");
    } else {
        out->says = "stops-short";
        snprintf(out->words, sizeof out->words, "stops where it is");
    }
}

static void behave(const bp_view *view, bp_behaviour *out) {
    double speed = bp_rotor_speed(view, LOAD);
    double slow_amps = bp_rotor_amps(view, SLOW, speed);
    double fast_amps = bp_rotor_amps(view, FAST, speed);
    bool on_fast = fast_amps > slow_amps;
    double share = on_fast ? speed / view->param[BP_WIPER_FAST] : speed;
    out->value = speed;
    out->unit = BP_UNIT_FRACTION;
    if (fabs(speed) < BP_STANDS_STILL) {
        behave_standing(view, fmax(fabs(slow_amps), fabs(fast_amps)), out);
    } else if (speed < 0) {
        out->says = "backwards";
        snprintf(out->words, sizeof out->words, "runs backwards");
    } else if (bp_view_has(view, BP_WIPER_UNLOADED)) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "runs, but the arms stand still");
    } else if (view->setting == BP_WIPER_PARKED) {
        out->says = "never-stops";
        snprintf(out->words, sizeof out->words, "does not stop at its park position");
    } else {
        out->says = share < weak ? "weak" : share > fast ? "fast" : "normal";
        snprintf(out->words, sizeof out->words, "wipes at %.0f %% of its %s speed", 100 * share,
                 on_fast ? "fast" : "slow");
    }
}

static const char *const says[] = {"normal", "weak",        "off",         "fast",      "stalled",
                                   "parked", "stops-short", "never-stops", "backwards", NULL};

const bp_model bp_model_wiper_motor = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD | BP_SEEN,
};
