/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Flasher: a contact that goes to and fro while there are lamps to light.
 */
#include <stdio.h>

#include "circuits/kinds/flasher.h"
#include "sim/winding.h"

enum { CONTACT, SUPPLY };
enum { OFF, LIT, FAST_GAP, FAST_LIT };

/* 90 flashes a minute, lit half of the time: the middle of what UN R6 allows, from memory. */
static const double half_period = 0.33;

/* Below this share of the current of all its lamps one of them is out: from memory. */
static const double all_lamps = 0.7;

/* An electronic one feels through this whether lamps are switched to it, and its electronics take
 * 5 mA at 12 V: from memory. */
static const double feeler_ohm = 10e3, supply_ohm = 2400;

static bool is_electronic(const bp_part *part) {
    return part->param[BP_FLASHER_SORT] == BP_FLASHER_ELECTRONIC;
}

static void elements(bp_builder *b, const bp_part *part) {
    const size_t feed = bp_build_own(b, part, BP_FLASHER_PIN_49);
    bp_build_resistor(b, feed, bp_build_own(b, part, BP_FLASHER_PIN_49A));
    bp_build_resistor(b, feed, bp_build_own(b, part, BP_FLASHER_PIN_31));
}

static bool is_closed(const bp_view *view) {
    return view->position == LIT || view->position == FAST_LIT ||
           bp_view_has(view, BP_FLASHER_CONTACT_WELDED);
}

static void values(const bp_view *view, double *value) {
    const bool electronic = is_electronic(view->part);
    value[SUPPLY] = electronic ? supply_ohm : BP_OPEN_OHM;
    value[CONTACT] = electronic ? feeler_ohm : BP_OPEN_OHM;
    if (is_closed(view) && !bp_view_has(view, BP_FLASHER_CONTACT_OPEN))
        value[CONTACT] = view->param[BP_FLASHER_CONTACT] +
                         bp_view_how_bad(view, BP_FLASHER_CONTACT_RESISTANCE, 0);
}

static double amps_of(const bp_view *view) { return fabs(bp_view_current(view, CONTACT)); }

static bool lamp_out(const bp_view *view) {
    const double load = bp_view_how_bad(view, BP_FLASHER_WRONG_LOAD, view->param[BP_FLASHER_LOAD]);
    return amps_of(view) < all_lamps * load / 12;
}

/* Are its electronics alive and lamps switched to it? */
static bool has_work(const bp_view *view) {
    const double ground = bp_view_pin_volts(view, BP_FLASHER_PIN_31);
    const double feed = bp_view_pin_volts(view, BP_FLASHER_PIN_49) - ground;
    const double out = bp_view_pin_volts(view, BP_FLASHER_PIN_49A) - ground;
    return feed >= view->param[BP_FLASHER_WORKS_FROM] && out < feed / 2;
}

static int electronic_next(const bp_view *view) {
    switch (view->position) {
    case OFF:
        return has_work(view) ? LIT : OFF;
    case FAST_GAP:
        return has_work(view) ? FAST_LIT : OFF;
    default:
        return lamp_out(view) ? FAST_GAP : OFF;
    }
}

/* The contact of a thermal one is closed when cold, and a heater in line with the lamps opens it.
 */
static int thermal_next(const bp_view *view) {
    return view->position == OFF ? LIT : lamp_out(view) ? LIT : OFF;
}

static bp_move next(const bp_view *view) {
    int to = is_electronic(view->part) ? electronic_next(view) : thermal_next(view);
    if (bp_view_has(view, BP_FLASHER_CONTACT_WELDED) || bp_view_has(view, BP_FLASHER_CONTACT_OPEN))
        to = OFF; /* whatever it wants, its contact stays as it is */
    const bool fast = to >= FAST_GAP || view->position >= FAST_GAP;
    return (bp_move){.moves = to != view->position,
                     .position = to,
                     .seconds = fast ? half_period / 2 : half_period};
}

/* Resting. */
static void behave(const bp_view *view, bp_behaviour *out) {
    const bool passes = is_closed(view) && amps_of(view) > 0.05;
    out->says = passes ? "steady" : "off";
    if (passes)
        snprintf(out->words, sizeof out->words, "passes %.1f A without flashing", amps_of(view));
    else
        snprintf(out->words, sizeof out->words, "does not flash");
}

static void to_and_fro(const bp_view *view, bp_behaviour *out) {
    const bool fast = view->position >= FAST_GAP;
    out->says = fast ? "flashes-fast" : "flashes";
    snprintf(out->words, sizeof out->words, "%s",
             fast ? "flashes twice as fast as it should, as with a lamp out" : "flashes");
}

static const char *const positions[] = {"off", "lit", "off, fast", "lit, fast"};
static const char *const says[] = {"flashes", "flashes-fast", "steady", "off", NULL};

const bp_model bp_model_flasher = {
    .elements = elements,
    .values = values,
    .n_positions = 4,
    .positions = positions,
    .next = next,
    .behave = behave,
    .to_and_fro = to_and_fro,
    .says = says,
    .senses = BP_HEARD,
    .kelvin_per_watt = 15,
};
