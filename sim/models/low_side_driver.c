/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Output stage of a module: switches `out` to its ground while it is asked to and the module is
 * alive.
 */
#include <stdio.h>

#include "circuits/kinds/low_side_driver.h"
#include "sim/winding.h"

enum { OUTPUT, SUPPLY };
enum { OFF, ON, SHUT_DOWN };

/* A stage switches within a millisecond and sheds an overload within a tenth of it, before any
 * contact moves or fuse opens: data-sheet typical, from memory. */
static const double switch_seconds = 1e-3, trip_seconds = 1e-4;

/* Once awake a module keeps on this much below the voltage it starts at, V. */
static const double hysteresis = 0.5;

static void elements(bp_builder *b, const bp_part *part) {
    size_t ground = bp_build_own(b, part, BP_DRIVER_PIN_31);
    bp_build_resistor(b, bp_build_own(b, part, BP_DRIVER_PIN_OUT), ground);
    bp_build_resistor(b, bp_build_own(b, part, BP_DRIVER_PIN_15), ground);
}

static double output_ohm(const bp_view *view) {
    const double *param = view->param;
    const bp_fault *shorted = bp_view_fault(view, BP_DRIVER_OUTPUT_SHORTED, BP_NONE);
    if (bp_view_has(view, BP_DRIVER_OUTPUT_OPEN))
        return BP_OPEN_OHM;
    if (shorted)
        return shorted->severity;
    if (view->position == ON)
        return bp_view_how_bad(view, BP_DRIVER_WEAK, param[BP_DRIVER_ON_RESISTANCE]);
    return bp_view_how_bad(view, BP_DRIVER_LEAKY, param[BP_DRIVER_LEAKAGE]);
}

static void values(const bp_view *view, double *value) {
    value[OUTPUT] = output_ohm(view);
    value[SUPPLY] = 12 / view->param[BP_DRIVER_DRAW]; /* the draw is stated at 12 V */
}

/* Does anything lead to pin 15: a wire, or another part's pin joined with it? */
static bool has_feed_pin(const bp_view *view) {
    const bp_circuit *circuit = view->circuit;
    const bp_pin *pin = &view->part->pins[BP_DRIVER_PIN_15];
    if (pin->n_wires > 0)
        return true;
    for (size_t i = 0; i < circuit->n_faces; i++)
        if (circuit->faces[i].part != view->part->index &&
            circuit->faces[i].node == circuit->faces[pin->harness].node)
            return true;
    return false;
}

static double feed_volts(const bp_view *view) {
    return bp_view_pin_volts(view, BP_DRIVER_PIN_15) - bp_view_pin_volts(view, BP_DRIVER_PIN_31);
}

static bool alive(const bp_view *view) {
    double least = view->param[BP_DRIVER_WORKS_FROM] - (view->position == OFF ? 0 : hysteresis);
    return !has_feed_pin(view) || feed_volts(view) >= least;
}

static bool asked(const bp_view *view) {
    return view->setting == BP_DRIVER_SET_ON && !bp_view_has(view, BP_DRIVER_NO_REQUEST);
}

static bp_move next(const bp_view *view) {
    double limit = view->param[BP_DRIVER_LIMIT];
    double amps = bp_view_current(view, OUTPUT);
    if (!asked(view) || !alive(view))
        return (bp_move){
            .moves = view->position != OFF, .position = OFF, .seconds = switch_seconds};
    if (view->position == OFF)
        return (bp_move){.moves = true, .position = ON, .seconds = switch_seconds};
    if (view->position == ON && amps > limit) /* never true when no limit is set */
        return (bp_move){.moves = true,
                         .position = SHUT_DOWN,
                         .seconds = trip_seconds,
                         .beyond = amps / limit - 1};
    return (bp_move){.moves = false, .position = view->position};
}

static void behave(const bp_view *view, bp_behaviour *out) {
    out->says = "off";
    if (view->setting == BP_DRIVER_SET_ON && !alive(view)) {
        out->says = "dead";
        snprintf(out->words, sizeof out->words,
                 "is dead: its module has %.1f V between feed and ground", feed_volts(view));
    } else if (view->position == SHUT_DOWN) {
        out->says = "shut-down";
        snprintf(out->words, sizeof out->words, "has shut itself down: too much current");
    } else if (view->position == ON) {
        out->says = "on";
        snprintf(out->words, sizeof out->words, "switches its load to ground");
    } else
        snprintf(out->words, sizeof out->words, "is off");
}

static const char *const positions[] = {"off", "on", "shut down"};
static const char *const says[] = {"on", "off", "shut-down", "dead", "chatter", NULL};

const bp_model bp_model_low_side_driver = {
    .elements = elements,
    .values = values,
    .n_positions = 3,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
};
