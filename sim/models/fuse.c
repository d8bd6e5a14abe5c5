/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fuse: its cold resistance while intact; opens by its current and the time that takes.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/fuse.h"
#include "sim/curve.h"
#include "sim/fusing.h"

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

static double opening_time(double times) {
    return bp_curve_log(multiples, seconds, sizeof seconds / sizeof *seconds, times);
}

/* Ratings hold within 23 +-5 degC (ISO 8820-3); beyond, a fuse carries 0.2 % less for each kelvin
 * warmer and as much more for each kelvin colder: data-sheet typical, from memory. */
static bp_fusing fusing_of(const bp_view *view) {
    double celsius = view->around->ambient;
    double off = celsius > 28 ? celsius - 28 : celsius < 18 ? celsius - 18 : 0;
    double rating = fitted(view);
    bp_fusing fusing = {
        .amps = fabs(bp_view_current(view, 0)), .carries = CARRIES, .opens_above = OPENS_ABOVE};
    fusing.times = fusing.amps / (rating * fmax(1 - 0.002 * off, 0.5));
    fusing.seconds = opening_time(fusing.times);
    snprintf(fusing.what, sizeof fusing.what, "a %g A fuse", rating);
    snprintf(fusing.limit, sizeof fusing.limit, "its %g A", rating);
    return fusing;
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
    bool open = view->position == BP_FUSING_OPEN || bp_view_fault(view, BP_FUSE_BLOWN, BP_NONE);
    value[0] = open ? BP_OPEN_OHM : ohm + (hairline ? hairline->severity : 0);
}

static bp_move next(const bp_view *view) {
    if (view->position == BP_FUSING_OPEN)
        return (bp_move){0};
    const bp_fusing fusing = fusing_of(view);
    return bp_fusing_next(&fusing, bp_view_fault(view, BP_FUSE_BLOWN, BP_NONE));
}

static void behave(const bp_view *view, bp_behaviour *out) {
    if (view->position == BP_FUSING_OPEN || bp_view_fault(view, BP_FUSE_BLOWN, BP_NONE)) {
        out->says = "blown";
        snprintf(out->words, sizeof out->words, "is blown");
        return;
    }
    const bp_fusing fusing = fusing_of(view);
    bp_fusing_behave(&fusing, out);
}

static const char *const positions[] = {"intact", "blown"};
static const char *const says[] = {BP_FUSING_SAYS, "blown", NULL};

const bp_model bp_model_fuse = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .lasting = true,
    .next = next,
    .behave = behave,
    .says = says,
    .senses = BP_SEEN,
    .kelvin_per_watt = 30,
};
