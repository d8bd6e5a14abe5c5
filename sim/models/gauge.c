/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gauge with crossed coils: the needle stands where the fields of its coils point to, which depends
 * on the ratio of their currents alone. With a sender of R ohm beside it the ground coil carries
 * R / (R + ground coil) of the feed coil's current; the marks of the scale stand where the sender's
 * resistances put the needle.
 */
#include "circuits/kinds/gauge.h"

#include <math.h>
#include <stdio.h>

#include "sim/winding.h"

enum { FEED_COIL, GROUND_COIL };

/* Current below which the field does not lift the needle off its rest, as a share of what 12 V
 * drive through the feed coil alone: from memory. */
static const double least_share = 0.1;

/* How far past its marks a needle can go before its stop, as a share of the scale: common
 * practice. What is within `near` of a mark is on it. */
static const double stop = 0.1, near = 0.03;

static void elements(bp_builder *b, const bp_part *part) {
    size_t sender = bp_build_own(b, part, BP_GAUGE_PIN_G);
    bp_build_resistor(b, bp_build_own(b, part, BP_GAUGE_PIN_15), sender);
    bp_build_resistor(b, sender, bp_build_own(b, part, BP_GAUGE_PIN_31));
}

static void values(const bp_view *view, double *value) {
    value[FEED_COIL] = bp_view_has(view, BP_GAUGE_FEED_COIL_OPEN)
                           ? BP_OPEN_OHM
                           : bp_copper_at(view->param[BP_GAUGE_FEED_COIL], view->around->ambient);
    value[GROUND_COIL] =
        bp_view_has(view, BP_GAUGE_GROUND_COIL_OPEN)
            ? BP_OPEN_OHM
            : bp_copper_at(view->param[BP_GAUGE_GROUND_COIL], view->around->ambient);
}

/* Where the needle stands, 0 empty and 1 full; NAN: nothing lifts it. */
static double needle(const bp_view *view) {
    double feed = bp_view_current(view, FEED_COIL), ground = bp_view_current(view, GROUND_COIL);
    double empty = view->param[BP_GAUGE_EMPTY], full = view->param[BP_GAUGE_FULL];
    double coil = view->param[BP_GAUGE_GROUND_COIL];
    if (fabs(feed) < least_share * 12 / view->param[BP_GAUGE_FEED_COIL])
        return NAN;
    /* Nothing beside the ground coil looks like a sender that is open. */
    double others = fmax((feed - ground) / feed, 1e-9);
    double sender_ohm = coil * (1 - others) / others;
    return fmin(fmax((sender_ohm - empty) / (full - empty), -stop), 1 + stop);
}

static const char *const says[] = {"reads",     "empty", "full", "past-empty",
                                   "past-full", "off",   NULL};

static void behave(const bp_view *view, bp_behaviour *out) {
    double at = bp_view_how_bad(view, BP_GAUGE_STUCK, needle(view));
    out->value = at;
    out->unit = BP_UNIT_FRACTION;
    if (isnan(at)) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "needle rests: no current");
        return;
    }
    out->says = at < -near      ? "past-empty"
                : at > 1 + near ? "past-full"
                : at < near     ? "empty"
                : at > 1 - near ? "full"
                                : "reads";
    if (at < -near || at > 1 + near)
        snprintf(out->words, sizeof out->words, "needle stands past %s", at < 0 ? "empty" : "full");
    else
        snprintf(out->words, sizeof out->words, "reads %.0f %%", 100 * fmin(fmax(at, 0), 1));
}

const bp_model bp_model_gauge = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_SEEN,
};
