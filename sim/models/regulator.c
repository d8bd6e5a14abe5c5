/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Regulator: a rail, what it draws for itself, and the places of its faults.
 */
#include "circuits/kinds/regulator.h"

#include <stdio.h>

#include "sim/module.h"
#include "sim/rail.h"
#include "sim/winding.h"

enum { RAIL, SELF = BP_RAIL_VALUES, ACROSS, SENSE };

/* The divider by which a regulator watches its output: 50 to 100 kohm, data-sheet typical, from
 * memory. */
static const double sense_ohm = 5e4;

/* What a dead output stage lets through, as a share of its limit. */
static const double dead_share = 1e-9;

/* Shares of its voltage within which it counts as good (sensor supplies are held to 5 %, common
 * practice), and below which there is nothing to speak of. */
static const double good = 0.05, nothing = 0.05;

/* Feed below which it does not even start, V: data-sheet typical, from memory. */
static const double least_feed = 2;

static void elements(bp_builder *b, const bp_part *part) {
    size_t feed = bp_build_own(b, part, BP_REGULATOR_PIN_15);
    size_t ground = bp_build_own(b, part, BP_REGULATOR_PIN_31);
    size_t out = bp_build_own(b, part, BP_REGULATOR_PIN_OUT);
    bp_rail_elements(b, feed, ground, out);
    bp_build_resistor(b, feed, ground);
    bp_build_resistor(b, feed, out);
    bp_build_resistor(b, out, ground);
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    double share = bp_view_how_bad(view, BP_REGULATOR_WEAK, 1);
    const bp_rail rail = {
        .volts = param[BP_REGULATOR_VOLTS] * bp_view_how_bad(view, BP_REGULATOR_OFF_VALUE, 1),
        .dropout = param[BP_REGULATOR_DROPOUT],
        .ohm = param[BP_REGULATOR_OUTPUT_OHM],
        .limit = param[BP_REGULATOR_LIMIT] *
                 (bp_view_has(view, BP_REGULATOR_NO_OUTPUT) ? dead_share : share)};
    bp_rail_values(&value[RAIL], &rail);
    value[SELF] = 12 / param[BP_REGULATOR_DRAW]; /* the draw is stated at 12 V */
    value[ACROSS] = bp_view_how_bad(view, BP_REGULATOR_SHORTED, BP_OPEN_OHM);
    value[SENSE] =
        1 / (1 / sense_ohm + 1 / bp_view_how_bad(view, BP_REGULATOR_LOADED, BP_OPEN_OHM));
}

static const char *const says[] = {"normal", "limited", "low", "high", "off", "dead", NULL};

static void behave(const bp_view *view, bp_behaviour *out) {
    double volts = bp_view_pin_volts(view, BP_REGULATOR_PIN_OUT) -
                   bp_view_pin_volts(view, BP_REGULATOR_PIN_31);
    double share = volts / view->param[BP_REGULATOR_VOLTS];
    double feed =
        bp_view_pin_volts(view, BP_REGULATOR_PIN_15) - bp_view_pin_volts(view, BP_REGULATOR_PIN_31);
    out->value = volts;
    out->unit = BP_UNIT_VOLT;
    if (feed < least_feed) {
        out->says = "dead";
        snprintf(out->words, sizeof out->words, "is dead: %.1f V between its feed and ground",
                 bp_told_volts(feed));
        return;
    }
    snprintf(out->words, sizeof out->words, "gives %.2f V over its own ground", volts);
    if (bp_rail_share(view, RAIL) > 1 && !bp_view_has(view, BP_REGULATOR_NO_OUTPUT)) {
        out->says = "limited";
        snprintf(out->words, sizeof out->words, "is at its limit: %.2f V are left", volts);
    } else if (share < nothing) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "gives nothing");
    } else if (share < 1 - good)
        out->says = "low";
    else
        out->says = share > 1 + good ? "high" : "normal";
}

/* From outside: an output that stands this much over its own voltage has been fed by something
 * else; sensors on 5 V stand 5.5 V (data-sheet typical, from memory). */
#define FORCED 1.1

static bool strained(const bp_view *view, char *words, size_t size) {
    const double own = view->param[BP_REGULATOR_VOLTS];
    const double volts = bp_view_pin_volts(view, BP_REGULATOR_PIN_OUT) -
                         bp_view_pin_volts(view, BP_REGULATOR_PIN_31);
    if (volts <= FORCED * own)
        return false;
    snprintf(words, size, "would have %.1f V on its %g V output", volts, own);
    return true;
}

const bp_model bp_model_regulator = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .strained = strained,
    .says = says,
};
