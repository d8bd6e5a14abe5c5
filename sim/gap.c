/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/gap.h"

#include <math.h>

enum { CONDUCTANCE, TAKEN };             /* slots */
enum { BURNING, VOLTS, AMPS, FIRED_AT }; /* memory; burning: 1 or -1, which way its current flows */

/* An arc that holds a voltage is a conductance of $0 less the current $1 that it would carry at
 * that voltage. Straight, since every corner of a law costs the solver more than all else: which
 * way the current flows is known when it fires, and it goes out before the current turns round. */
static const bp_law arc = {.id = "arc", .n_controls = 1, .n_params = 2, .spice = "$0*#0-$1"};

/* S: next to open. */
static const double unlit = 1e-13;

/* No step to where it fires or goes out is shorter, s; each covers a share of what is left. */
static const double shortest = 2e-8, share_of_rest = 0.5;
/* So many steps ahead it is looked for. */
enum { AHEAD = 8 };

/* An arc has this long to establish itself, s. */
static const double strikes_in = 3e-7;

void bp_gap_elements(bp_builder *b, size_t plus, size_t minus) {
    const size_t across[1][2] = {{plus, minus}};
    const size_t slot = bp_build_law(b, &arc, plus, minus, across);
    bp_build_live(b, slot + CONDUCTANCE);
    bp_build_live(b, slot + TAKEN);
}

void bp_gap_values(double *value, const double *memory, const bp_arc *burns) {
    const double way = memory ? memory[BURNING] : 0;
    value[CONDUCTANCE] = way != 0 ? burns->conductance : unlit;
    value[TAKEN] = way * burns->conductance * burns->holds;
}

double bp_gap_volts(const bp_view *view, size_t slot) {
    const bp_element *e = bp_deck_element_of_value(
        view->deck, bp_deck_first_value(view->deck, view->part->index) + slot);
    return view->volts[e->plus] - view->volts[e->minus];
}

/* Steps get shorter as something nears its end at the present rate. */
static void approach(bp_moment *m, double left, double went) {
    const double took = m->time - m->before;
    if (went > 0 && took > 0 && left < AHEAD * went)
        bp_moment_fine(m, fmax(shortest, share_of_rest * left / went * took));
}

static bp_gap_does burn(bp_moment *m, const bp_gap *gap, double volts) {
    double *memory = gap->memory;
    const double way = memory[BURNING];
    const double amps = gap->arc->conductance * (way * volts - gap->arc->holds);
    const bool struck = m->time - memory[FIRED_AT] > strikes_in;
    if (struck && amps < gap->arc->least) {
        memory[BURNING] = 0;
        return BP_GAP_ENDS;
    }
    if (struck)
        approach(m, amps - gap->arc->least, memory[AMPS] - amps);
    else
        bp_moment_wake(m, memory[FIRED_AT] + 1.01 * strikes_in);
    memory[AMPS] = amps;
    return BP_GAP_STAYS;
}

bp_gap_does bp_gap_instant(bp_moment *m, const bp_gap *gap, double *volts) {
    double *memory = gap->memory;
    const double now = bp_gap_volts(&m->view, gap->slot);
    bp_gap_does does = BP_GAP_STAYS;
    *volts = now;
    if (memory[BURNING] != 0)
        does = burn(m, gap, now);
    else if (fabs(now) >= gap->breakdown) {
        memory[BURNING] = now > 0 ? 1 : -1;
        *volts = memory[BURNING] * gap->breakdown; /* the step led a little further */
        memory[FIRED_AT] = m->time;
        memory[AMPS] = 0;
        does = BP_GAP_FIRES;
    } else
        approach(m, gap->breakdown - fabs(now), fabs(now) - fabs(memory[VOLTS]));
    memory[VOLTS] = now;
    return does;
}

bool bp_gap_beside(bp_moment *m, const bp_gap *way, const bp_gap *insulation, size_t tell) {
    double volts;
    const bp_gap_does through = bp_gap_instant(m, way, &volts);
    const bp_gap_does aside = bp_gap_instant(m, insulation, &volts);
    if (aside == BP_GAP_FIRES)
        bp_moment_tell(m, tell, fabs(volts));
    return through != BP_GAP_STAYS || aside != BP_GAP_STAYS;
}

double bp_gap_breakdown(double metres, double density) {
    const double d = 100 * metres * density;
    return 1e3 * (24.22 * d + 6.08 * sqrt(d));
}
