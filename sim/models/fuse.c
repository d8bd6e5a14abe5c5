/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fuse: its cold resistance while intact; opens by its current and the time that takes.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/fuse.h"
#include "sim/curve.h"
#include "sim/model.h"
#include "sim/settle.h"

enum { INTACT, BLOWN };

/* Cold resistance of blade fuses by rating: data-sheet typical, from memory; above 40 A strip
 * fuses, 60 mV at their rating (from memory). */
static const double ratings[] = {1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 100, 500};
static const double milliohms[] = {123,  53.5, 31.1, 17.85, 10.91, 7.70, 4.80,
                                   3.38, 2.52, 1.97, 1.44,  0.60,  0.12};

/* Opening time by multiple of the rating: upper limits of ISO 8820-3 as data sheets quote them;
 * beyond six times no heat leaves the element, so current squared times time is constant. */
static const double multiples[] = {1.35, 2, 3.5, 6, 60};
static const double seconds[] = {1800, 5, 0.5, 0.1, 0.001};

#define OPENS_ABOVE 1.35 /* ISO 8820-3 */
#define CARRIES 1.10     /* for 100 h: ISO 8820-3, from memory */

/* The rating of the fuse that sits there. */
static double fitted(const bp_view *view) {
    const bp_fault *wrong = bp_view_fault(view, BP_FUSE_WRONG_RATING, BP_NONE);
    return wrong ? wrong->severity : view->param[BP_FUSE_RATING];
}

/* Ratings hold within 23 +-5 degC (ISO 8820-3); beyond, a fuse carries 0.2 % less for each kelvin
 * warmer and as much more for each kelvin colder: data-sheet typical, from memory. */
static double multiple(const bp_view *view) {
    double celsius = view->around->ambient;
    double off = celsius > 28 ? celsius - 28 : celsius < 18 ? celsius - 18 : 0;
    double rating = fitted(view) * fmax(1 - 0.002 * off, 0.5);
    return fabs(bp_view_current(view, 0)) / rating;
}

static double opening_time(double times) {
    return bp_curve_log(multiples, seconds, sizeof seconds / sizeof *seconds, times);
}

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_FUSE_PIN_1),
                      bp_build_own(b, part, BP_FUSE_PIN_2));
}

static void values(const bp_view *view, double *value) {
    const bp_fault *hairline = bp_view_fault(view, BP_FUSE_HAIRLINE, BP_NONE);
    double ohm = view->param[BP_FUSE_RESISTANCE];
    if (isnan(ohm) || bp_view_fault(view, BP_FUSE_WRONG_RATING, BP_NONE))
        ohm =
            1e-3 * bp_curve_log(ratings, milliohms, sizeof ratings / sizeof *ratings, fitted(view));
    bool open = view->position == BLOWN || bp_view_fault(view, BP_FUSE_BLOWN, BP_NONE);
    value[0] = open ? BP_OPEN_OHM : ohm + (hairline ? hairline->severity : 0);
}

static bp_move next(const bp_view *view) {
    if (view->position == BLOWN)
        return (bp_move){0};
    if (bp_view_fault(view, BP_FUSE_BLOWN, BP_NONE)) /* found blown: it is not there to open */
        return (bp_move){.moves = true, .position = BLOWN, .seconds = 0, .beyond = INFINITY};
    double times = multiple(view);
    return (bp_move){.moves = times > OPENS_ABOVE,
                     .position = BLOWN,
                     .seconds = opening_time(times),
                     .beyond = times / OPENS_ABOVE - 1};
}

static const char *const positions[] = {"intact", "blown"};

enum { HOLDS, OVERLOADED, OPENS_SLOWLY, OPENS_AT_ONCE, IS_BLOWN };
static const char *const says[] = {"holds",         "overloaded", "opens-slowly",
                                   "opens-at-once", "blown",      NULL};

/* Less than this is no current to anybody: what flows through a meter or a dirty switch, A. */
#define NOTHING 1e-3

static void tell(bp_behaviour *out, int what, double current, double times, double rating) {
    double time = opening_time(times);
    char amps[40] = "no current", *words = out->words;
    const size_t size = sizeof out->words;
    if (current >= NOTHING)
        bp_quantity_format(current, BP_UNIT_AMPERE, 3, amps, sizeof amps);
    out->says = says[what];
    out->value = current;
    out->unit = BP_UNIT_AMPERE;
    switch (what) {
    case HOLDS:
        snprintf(words, size, "holds: %s through a %g A fuse", amps, rating);
        break;
    case OVERLOADED:
        snprintf(words, size, "overloaded: %s, %.2f times its %g A; it may hold for hours", amps,
                 times, rating);
        break;
    case OPENS_SLOWLY:
        snprintf(words, size, "opens within %.2g %s: %s, %.1f times its %g A",
                 time < 90 ? time : time / 60, time < 90 ? "s" : "min", amps, times, rating);
        break;
    default:
        snprintf(words, size, "opens at once: %s, %.1f times its %g A", amps, times, rating);
    }
}

static void behave(const bp_view *view, bp_behaviour *out) {
    if (view->position == BLOWN || bp_view_fault(view, BP_FUSE_BLOWN, BP_NONE)) {
        out->says = says[IS_BLOWN];
        snprintf(out->words, sizeof out->words, "is blown");
        return;
    }
    double times = multiple(view);
    int what = times <= CARRIES                         ? HOLDS
               : times <= OPENS_ABOVE                   ? OVERLOADED
               : opening_time(times) <= BP_SLOW_SECONDS ? OPENS_AT_ONCE
                                                        : OPENS_SLOWLY;
    tell(out, what, fabs(bp_view_current(view, 0)), times, fitted(view));
}

const bp_model bp_model_fuse = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .lasting = true,
    .next = next,
    .behave = behave,
    .says = says,
};
