/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Horn: a winding whose contact interrupts itself while there is enough voltage to swing. Silent,
 * the contact stays closed and the winding takes its full current; swinging, the current is
 * interrupted for the greater part and the mean is what a meter sees.
 */
#include <stdio.h>

#include "circuits/kinds/horn.h"
#include "sim/winding.h"

enum { WINDING };
enum { SILENT, CROAKS, SOUNDS };

/* The contact is closed for this share of a swing when the winding is not stated: see its source.
 */
static const double closed_share = 0.4;

/* A diaphragm swings up within some periods of 400 Hz: from memory. */
static const double swings_up = 0.02;

static void elements(bp_builder *b, const bp_part *part) {
    bp_winding_elements(b, bp_build_own(b, part, BP_HORN_PIN_1),
                        bp_build_own(b, part, BP_HORN_PIN_2));
}

/* Resistance by the mean current while it swings, and of the winding alone. */
static double mechanism_ohm(const bp_view *view) {
    const double mean = view->param[BP_HORN_VOLTS] / view->param[BP_HORN_CURRENT];
    const double winding = view->param[BP_HORN_WINDING];
    if (view->position != SILENT)
        return mean;
    return bp_copper_at(isnan(winding) ? closed_share * mean : winding, view->around->ambient);
}

static void values(const bp_view *view, double *value) {
    const double ohm = mechanism_ohm(view) + bp_view_how_bad(view, BP_HORN_RESISTANCE, 0);
    bp_winding_values(&value[WINDING], bp_view_has(view, BP_HORN_OPEN) ? BP_OPEN_OHM : ohm,
                      bp_view_how_bad(view, BP_HORN_GROUND_LEAK, BP_OPEN_OHM));
}

/* What is left for the mechanism behind its burnt contact. */
static double volts_of(const bp_view *view) {
    return bp_winding_amps(view, WINDING) * mechanism_ohm(view);
}

static int wanted(const bp_view *view) {
    const double volts = volts_of(view);
    if (bp_view_has(view, BP_HORN_SEIZED) || bp_view_has(view, BP_HORN_OPEN))
        return SILENT;
    if (volts >= bp_view_how_bad(view, BP_HORN_OUT_OF_TUNE, view->param[BP_HORN_SOUNDS_FROM]))
        return SOUNDS;
    return volts >= view->param[BP_HORN_CROAKS_FROM] ? CROAKS : SILENT;
}

static bp_move next(const bp_view *view) {
    const int to = wanted(view);
    return (bp_move){.moves = to != view->position, .position = to, .seconds = swings_up};
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double volts = volts_of(view), amps = bp_winding_amps(view, WINDING);
    out->value = volts;
    out->unit = BP_UNIT_VOLT;
    if (view->position == SOUNDS) {
        out->says = "normal";
        snprintf(out->words, sizeof out->words, "sounds");
    } else if (view->position == CROAKS) {
        out->says = "croaks";
        snprintf(out->words, sizeof out->words, "croaks: it has only %.1f V for its note", volts);
    } else {
        out->says = "off";
        if (amps < 0.1 * view->param[BP_HORN_CURRENT])
            snprintf(out->words, sizeof out->words, "is silent");
        else
            snprintf(out->words, sizeof out->words, "is silent though %.1f A flow through it",
                     amps);
    }
}

static const char *const positions[] = {"silent", "croaks", "sounds"};
static const char *const says[] = {"normal", "croaks", "off", "chatter", NULL};

const bp_model bp_model_horn = {
    .elements = elements,
    .values = values,
    .n_positions = 3,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD,
};
