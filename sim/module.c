/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/module.h"

#include <stdio.h>

#include "sim/winding.h"

/* An overload is shed within a tenth of a millisecond, before any fuse opens: data-sheet typical,
 * from memory. */
static const double trip_seconds = 1e-4;

bool bp_module_is_wired(const bp_part *part, size_t pin) {
    const bp_circuit *circuit = part->circuit;
    if (part->pins[pin].n_wires > 0)
        return true;
    for (size_t i = 0; i < circuit->n_faces; i++)
        if (circuit->faces[i].part != part->index &&
            circuit->faces[i].node == circuit->faces[part->pins[pin].harness].node)
            return true;
    return false;
}

double bp_told_volts(double volts) { return fabs(volts) < 0.05 ? 0 : volts; }

double bp_stage_ohm(const bp_view *view, const bp_stage *stage, bool on, double on_ohm,
                    double leak_ohm) {
    const bp_fault *shorted = bp_view_fault(view, stage->output_shorted, BP_NONE);
    if (bp_view_has(view, stage->output_open))
        return BP_OPEN_OHM;
    if (shorted)
        return shorted->severity;
    return on ? bp_view_how_bad(view, stage->weak, on_ohm)
              : bp_view_how_bad(view, stage->leaky, leak_ohm);
}

bp_move bp_stage_next(const bp_view *view, bool wanted, double amps, double limit) {
    if (!wanted)
        return (bp_move){.moves = view->position != BP_STAGE_OFF,
                         .position = BP_STAGE_OFF,
                         .seconds = BP_STAGE_SECONDS};
    if (view->position == BP_STAGE_OFF)
        return (bp_move){.moves = true, .position = BP_STAGE_ON, .seconds = BP_STAGE_SECONDS};
    if (view->position == BP_STAGE_ON && amps > limit &&
        !view->unprotected) /* never true when no limit is set */
        return (bp_move){.moves = true,
                         .position = BP_STAGE_SHUT_DOWN,
                         .seconds = trip_seconds,
                         .beyond = amps / limit - 1};
    return (bp_move){.moves = false, .position = view->position};
}

bool bp_stage_strained(const bp_view *view, size_t slot, double most, char *words, size_t size) {
    const double amps = fabs(bp_view_current(view, slot));
    if (amps <= most)
        return false;
    snprintf(words, size, "would carry %.*f A, and its output stands %g A", amps < 10, amps, most);
    return true;
}

void bp_stage_behave(const bp_view *view, bool dead, double feed_volts, const char *on,
                     bp_behaviour *out) {
    out->says = "off";
    if (dead) {
        out->says = "dead";
        snprintf(out->words, sizeof out->words,
                 "is dead: its module has %.1f V between feed and ground",
                 bp_told_volts(feed_volts));
    } else if (view->position == BP_STAGE_SHUT_DOWN) {
        out->says = "shut-down";
        snprintf(out->words, sizeof out->words, "has shut itself down: too much current");
    } else if (view->position == BP_STAGE_ON) {
        out->says = "on";
        snprintf(out->words, sizeof out->words, "%s", on);
    } else
        snprintf(out->words, sizeof out->words, "is off");
}

const char *const bp_stage_positions[] = {"off", "on", "shut down"};
const char *const bp_stage_says[] = {"on", "off", "shut-down", "dead", "chatter", NULL};
