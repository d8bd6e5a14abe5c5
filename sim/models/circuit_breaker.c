/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Circuit breaker: a contact on a bimetal that its current heats.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/circuit_breaker.h"
#include "sim/curve.h"
#include "sim/fusing.h"
#include "sim/winding.h"

/* Tripping time by multiple of the rating: half an hour at 1.35 times and a minute at twice are the
 * limits of SAE J553, from memory; four and six times are data-sheet typical, from memory. */
static const double multiples[] = {1.35, 2, 4, 6, 60};
static const double seconds[] = {1800, 60, 6, 2, 0.05};

#define TRIPS_ABOVE 1.35 /* SAE J553, from memory */
#define CARRIES 1.0      /* for ever: the same */

/* A bimetal needs some seconds to cool down before it snaps back: common practice. */
static const double cools_seconds = 5;

/* Rated at 25 degC; 0.4 % less for each kelvin warmer: data-sheet typical, from memory. */
static const double rated_celsius = 25, per_kelvin = 0.004;

/* What keeps a holding breaker warm, across its contact: a quarter of an ampere at 12 V, and it
 * lets go below a quarter of that voltage; from memory. */
static const double holding_ohm = 47, holding_volts = 3;

static bool resets_itself(const bp_part *part) {
    return part->param[BP_BREAKER_RESET] != BP_BREAKER_BY_HAND;
}

static double fitted(const bp_view *view) {
    return bp_view_how_bad(view, BP_BREAKER_WRONG_RATING, view->param[BP_BREAKER_RATING]);
}

static bool holds_open(const bp_view *view) {
    return view->param[BP_BREAKER_RESET] == BP_BREAKER_HOLDS_OPEN;
}

static bool is_open(const bp_view *view) {
    return view->position == BP_FUSING_OPEN || bp_view_has(view, BP_BREAKER_OPEN);
}

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_BREAKER_PIN_1),
                      bp_build_own(b, part, BP_BREAKER_PIN_2));
}

static void values(const bp_view *view, double *value) {
    double ohm = view->param[BP_BREAKER_RESISTANCE];
    if (isnan(ohm))
        ohm = 0.1 / fitted(view);
    if (is_open(view))
        ohm = holds_open(view) ? holding_ohm : BP_OPEN_OHM;
    else
        ohm += bp_view_how_bad(view, BP_BREAKER_BURNT, 0);
    value[0] = ohm;
}

static bp_fusing fusing_of(const bp_view *view) {
    const double rating = fitted(view);
    const double warm = 1 - per_kelvin * (view->around->ambient - rated_celsius);
    const double left = bp_view_how_bad(view, BP_BREAKER_TRIPS_EARLY, 1);
    bp_fusing fusing = {
        .amps = fabs(bp_view_current(view, 0)), .carries = CARRIES, .opens_above = TRIPS_ABOVE};
    fusing.times = fusing.amps / (rating * left * fmax(warm, 0.3));
    fusing.seconds =
        bp_curve_log(multiples, seconds, sizeof multiples / sizeof *multiples, fusing.times);
    snprintf(fusing.what, sizeof fusing.what, "a %g A breaker", rating);
    snprintf(fusing.limit, sizeof fusing.limit, "the %g A that it stands",
             rating * left * fmax(warm, 0.3));
    return fusing;
}

static bp_move next(const bp_view *view) {
    const bool never_closes = bp_view_has(view, BP_BREAKER_OPEN);
    if (view->position == BP_FUSING_WHOLE) {
        const bp_fusing fusing = fusing_of(view);
        const bool welded = bp_view_has(view, BP_BREAKER_WELDED);
        return welded ? (bp_move){0} : bp_fusing_next(&fusing, never_closes);
    }
    const double across =
        bp_view_pin_volts(view, BP_BREAKER_PIN_1) - bp_view_pin_volts(view, BP_BREAKER_PIN_2);
    const bool kept = holds_open(view) && fabs(across) >= holding_volts;
    return (bp_move){.moves = resets_itself(view->part) && !never_closes && !kept,
                     .position = BP_FUSING_WHOLE,
                     .seconds = cools_seconds};
}

static void behave(const bp_view *view, bp_behaviour *out) {
    if (is_open(view)) {
        out->says = "tripped";
        const bool stuck = bp_view_has(view, BP_BREAKER_OPEN) && resets_itself(view->part);
        snprintf(out->words, sizeof out->words, stuck ? "does not close" : "is tripped");
        return;
    }
    const bp_fusing fusing = fusing_of(view);
    bp_fusing_behave(&fusing, out);
    if (bp_view_has(view, BP_BREAKER_WELDED) && fusing.times > TRIPS_ABOVE) {
        out->says = "overloaded";
        snprintf(out->words, sizeof out->words, "does not trip at %.1f times %s", fusing.times,
                 fusing.limit);
    }
}

static void to_and_fro(const bp_view *view, bp_behaviour *out) {
    (void)view;
    out->says = "cycles";
    snprintf(out->words, sizeof out->words,
             "cycles: it trips, cools down and closes again, over and over");
}

static const char *const positions[] = {"closed", "tripped"};
static const char *const says[] = {BP_FUSING_SAYS, "tripped", "cycles", NULL};

const bp_model bp_model_circuit_breaker = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .lasting = true,
    .comes_back = resets_itself,
    .next = next,
    .behave = behave,
    .to_and_fro = to_and_fro,
    .says = says,
    .senses = BP_HEARD,
    .kelvin_per_watt = 20,
};
