/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/gap.h"

#include <math.h>

enum { CONDUCTANCE, HOLDS, CORNER };  /* slots */
enum { BURNING, VOLTS, SMALL_SINCE }; /* memory */

/* Current of an arc that holds $1 volts and has little resistance beyond: a dead zone with corners
 * rounded, $2 volts squared, since a step has no slope for the solver to follow. $0 is its
 * conductance. */
static const bp_law arc = {.id = "arc",
                           .n_controls = 1,
                           .n_params = 3,
                           .spice =
                               "$0*(#0+0.5*(sqrt((#0-$1)*(#0-$1)+$2)-sqrt((#0+$1)*(#0+$1)+$2)))"};

/* S: next to open. */
static const double unlit = 1e-13;

/* Steps shortly before it fires: so many to where it would at the present rate of rise, s at least.
 */
static const double share_of_rest = 0.5, shortest = 2e-8;

void bp_gap_elements(bp_builder *b, size_t plus, size_t minus) {
    const size_t across[1][2] = {{plus, minus}};
    const size_t slot = bp_build_law(b, &arc, plus, minus, across);
    bp_build_live(b, slot + CONDUCTANCE);
}

void bp_gap_values(double *value, bool burning, const bp_arc *burns) {
    value[CONDUCTANCE] = burning ? burns->conductance : unlit;
    value[HOLDS] = burns->holds;
    value[CORNER] = burns->corner * burns->corner;
}

double bp_gap_volts(const bp_view *view, size_t slot) {
    const bp_element *e = bp_deck_element_of_value(
        view->deck, bp_deck_first_value(view->deck, view->part->index) + slot);
    return view->volts[e->plus] - view->volts[e->minus];
}

static double arc_amps(double volts, const bp_arc *burns) {
    const double a = volts - burns->holds, c = volts + burns->holds;
    return burns->conductance * (volts + 0.5 * (hypot(a, burns->corner) - hypot(c, burns->corner)));
}

static bp_gap_does burn(bp_moment *m, const bp_gap *gap, double volts) {
    if (fabs(arc_amps(volts, gap->arc)) >= gap->arc->least) {
        gap->memory[SMALL_SINCE] = m->time;
        return BP_GAP_STAYS;
    }
    if (m->time < gap->memory[SMALL_SINCE] + gap->arc->small_for - 1e-12) {
        bp_moment_wake(m, gap->memory[SMALL_SINCE] + gap->arc->small_for);
        return BP_GAP_STAYS;
    }
    gap->memory[BURNING] = 0;
    return BP_GAP_ENDS;
}

/* Steps get shorter as the voltage nears what the gap stands, so that it fires there and not well
 * above. */
static void approach(bp_moment *m, const bp_gap *gap, double volts) {
    const double rise = fabs(volts) - fabs(gap->memory[VOLTS]);
    const double took = m->time - m->before;
    if (rise > 0 && took > 0 && fabs(volts) + 8 * rise > gap->breakdown)
        bp_moment_fine(
            m, fmax(shortest, share_of_rest * (gap->breakdown - fabs(volts)) / rise * took));
}

bp_gap_does bp_gap_instant(bp_moment *m, const bp_gap *gap, double *volts) {
    const double now = bp_gap_volts(&m->view, gap->slot);
    bp_gap_does does = BP_GAP_STAYS;
    *volts = now;
    if (gap->memory[BURNING] != 0)
        does = burn(m, gap, now);
    else if (fabs(now) >= gap->breakdown) {
        gap->memory[BURNING] = 1;
        gap->memory[SMALL_SINCE] = m->time;
        does = BP_GAP_FIRES;
    } else
        approach(m, gap, now);
    gap->memory[VOLTS] = now;
    return does;
}

double bp_gap_breakdown(double metres, double density) {
    const double d = 100 * metres * density;
    return 1e3 * (24.22 * d + 6.08 * sqrt(d));
}
