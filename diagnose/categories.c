/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings that are words, OL or an unsteady display: how probable each is where something is
 * predicted.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "diagnose/posterior_parts.h"
#include "sim/instrument.h"

/* People see and hear what is plainly there; what is a matter of degree they tell apart less well.
 * From memory. */
#define SEEN_RIGHT 0.93
#define SEEN_NEAR 0.25
#define SEEN_WRONG 0.01
/* OL where a number is predicted, or the other way round: a lead that had no contact is a slip and
 * counted as one; this is what remains. */
#define NEVER 1e-4
/* A number read off a display that does not stand still. */
#define OFF_UNSTEADY 0.3

/* Words between which people do not draw a sharp line. */
static bool are_near(const char *a, const char *b) {
    static const char *const degrees[][2] = {
        {"normal", "weak"}, {"normal", "slow"}, {"normal", "fast"}, {"normal", "dim"},
        {"weak", "off"},    {"dim", "off"},     {"bright", "dim"},  {"weak", "slow"},
        {"normal", "high"}, {"normal", "low"}};
    for (size_t i = 0; i < sizeof degrees / sizeof *degrees; i++)
        if ((strcmp(a, degrees[i][0]) == 0 && strcmp(b, degrees[i][1]) == 0) ||
            (strcmp(a, degrees[i][1]) == 0 && strcmp(b, degrees[i][0]) == 0))
            return true;
    return false;
}

static double word_probability(const char *seen, const char *predicted) {
    if (strcmp(seen, predicted) == 0)
        return SEEN_RIGHT;
    return are_near(seen, predicted) ? SEEN_NEAR : SEEN_WRONG;
}

static double shown_probability(const bp_evidence *e, const bp_test *t, double value) {
    char shown[24];
    bp_instruments[t->instrument]->show(value, shown, sizeof shown);
    return word_probability(e->word, shown);
}

/* Over what good parts make of its light: the mean over values that are equally probable. Where
 * even the ends of all that say one word, there is nothing to add up. */
static double lamp_probability(const bp_evidence *e, const bp_test *t, double value, double sd) {
    enum { VALUES = 20 };
    const double most = sd * gsl_cdf_ugaussian_Pinv(1 - 0.5 / VALUES);
    const double low = shown_probability(e, t, value - most);
    if (!(sd > 0) || low == shown_probability(e, t, value + most))
        return low;
    double sum = 0;
    for (int i = 0; i < VALUES; i++)
        sum += shown_probability(e, t, value + sd * gsl_cdf_ugaussian_Pinv((i + 0.5) / VALUES));
    return sum / VALUES;
}

double bp_flat_density(const bp_atlas *atlas, const bp_evidence *e) {
    const bp_test *t = bp_atlas_test(atlas, e->test);
    if (e->sort == BP_SEEN_WORD)
        return 1.0 / 3;
    if (e->sort != BP_SEEN_VALUE)
        return 0.05; /* most readings are numbers */
    switch (bp_instruments[t->instrument]->unit) {
    case BP_UNIT_VOLT: /* what a 12 V vehicle has, and the range of the millivolts */
        return t->instrument == BP_MILLIVOLTS ? 0.9 / 1.2 : 0.9 / 16;
    case BP_UNIT_AMPERE:
        return 0.9 / 20;
    case BP_UNIT_OHM: /* the same for every factor of ten from 0.1 ohm to 10 Mohm */
        return 0.9 / (fmax(fabs(e->value), 0.1) * log(1e8));
    default:
        return 0.9;
    }
}

double bp_category_probability(const bp_atlas *atlas, const bp_evidence *e, const bp_cell *cell,
                               double sd) {
    const bp_test *t = bp_atlas_test(atlas, e->test);
    if (cell->sort == BP_CELL_MISSING || cell->sort == BP_CELL_NONE)
        return bp_flat_density(atlas, e); /* nothing in particular */
    switch (e->sort) {
    case BP_SEEN_WORD:
        if (cell->sort == BP_CELL_SAYS)
            return word_probability(e->word, cell->says);
        return cell->sort == BP_CELL_VALUE ? lamp_probability(e, t, cell->value, sd) : SEEN_WRONG;
    case BP_SEEN_OVER:
        return cell->sort == BP_CELL_OVER ? 1 - NEVER : NEVER;
    case BP_SEEN_UNSTEADY:
        return cell->sort == BP_CELL_UNSTEADY ? 0.9 : NEVER;
    case BP_SEEN_VALUE:
        return bp_flat_density(atlas, e) * (cell->sort == BP_CELL_UNSTEADY ? OFF_UNSTEADY : NEVER);
    }
    return NEVER;
}
