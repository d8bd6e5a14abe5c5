/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fusible link: copper that melts. What it carries for ever is Preece's law, 80 A times the
 * diameter in mm to the power 1.5 (Standard Handbook for Electrical Engineers: 10244 with inches).
 * What melts it before any heat has left is the equation of Onderdonk, 33 (I/A)^2 t = log10(1 +
 * 1063 K / 254 K) with A in circular mils, from 20 degC to the melting point of copper. Between the
 * two it warms up as a body with one time constant does.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/fusible_link.h"
#include "sim/fusing.h"
#include "sim/winding.h"

#define PREECE 80.0            /* A per mm^1.5 */
#define CIRCULAR_MILS 1973.525 /* per mm2 */
#define COPPER 1.7241e-8       /* ohm m at 20 degC: IACS, NBS Handbook 100 */

/* Share of the melting current at which its insulation stands the heat: the rise goes with the
 * square of the current, 0.35^2 of 1063 K is 130 K. */
static const double carries = 0.35;

static double size_of(const bp_view *view) {
    return bp_view_how_bad(view, BP_LINK_WRONG_SIZE, view->param[BP_LINK_SIZE]);
}

static double melting_amps(double mm2) { return PREECE * pow(4 * mm2 / M_PI, 0.75); }

/* A^2 s that melt it at once. */
static double melting_heat(double mm2) {
    const double mils = CIRCULAR_MILS * mm2;
    return mils * mils * log10(1 + 1063.0 / 254.0) / 33;
}

static double seconds(double mm2, double times) {
    const double amps = melting_amps(mm2);
    const double constant = melting_heat(mm2) / (amps * amps);
    return times > 1 ? -constant * log1p(-1 / (times * times)) : INFINITY;
}

static void elements(bp_builder *b, const bp_part *part) {
    bp_build_resistor(b, bp_build_own(b, part, BP_LINK_PIN_1),
                      bp_build_own(b, part, BP_LINK_PIN_2));
}

static bool is_open(const bp_view *view) {
    return view->position == BP_FUSING_OPEN || bp_view_has(view, BP_LINK_MELTED);
}

static void values(const bp_view *view, double *value) {
    const double ohm = COPPER * view->param[BP_LINK_LENGTH] / size_of(view);
    value[0] =
        bp_copper_at(ohm, view->around->ambient) + bp_view_how_bad(view, BP_LINK_RESISTANCE, 0);
    if (is_open(view))
        value[0] = BP_OPEN_OHM;
}

static bp_fusing fusing_of(const bp_view *view) {
    const double mm2 = 1e6 * size_of(view), amps = melting_amps(mm2);
    bp_fusing fusing = {
        .amps = fabs(bp_view_current(view, 0)), .carries = carries, .opens_above = 1};
    fusing.times = fusing.amps / amps;
    fusing.seconds = seconds(mm2, fusing.times);
    snprintf(fusing.what, sizeof fusing.what, "a link that melts at %.0f A", amps);
    snprintf(fusing.limit, sizeof fusing.limit, "the %.0f A that melt it", amps);
    return fusing;
}

static bp_move next(const bp_view *view) {
    if (view->position == BP_FUSING_OPEN)
        return (bp_move){0};
    const bp_fusing fusing = fusing_of(view);
    return bp_fusing_next(&fusing, bp_view_has(view, BP_LINK_MELTED));
}

static void behave(const bp_view *view, bp_behaviour *out) {
    if (is_open(view)) {
        out->says = "melted";
        snprintf(out->words, sizeof out->words, "is melted");
        return;
    }
    const bp_fusing fusing = fusing_of(view);
    bp_fusing_behave(&fusing, out);
}

static const char *const positions[] = {"whole", "melted"};
static const char *const says[] = {BP_FUSING_SAYS, "melted", NULL};

const bp_model bp_model_fusible_link = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .lasting = true,
    .next = next,
    .behave = behave,
    .says = says,
    .senses = BP_SEEN,
    .kelvin_per_watt = 15,
};
