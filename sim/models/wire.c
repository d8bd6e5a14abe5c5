/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wire: two halves with the place in the middle where it chafes through.
 *
 * Slots: both halves, short to ground, short to feed, then one short to each neighbour with a
 * higher index, so that a pair of wires has one place and not two.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/wire.h"
#include "sim/curve.h"
#include "sim/model.h"

enum { HALF_1, HALF_2, TO_GROUND, TO_FEED, TO_OTHERS };

/* IACS copper, ohm m at 20 degC: NBS Handbook 100. */
#define COPPER 1.7241e-8

/* The next neighbour above `after`, or BP_NONE. */
static size_t next_neighbour(const bp_part *part, size_t after) {
    for (size_t i = after + 1; i < part->circuit->n_parts; i++)
        if (part->circuit->parts[i].kind == part->kind &&
            bp_wires_are_neighbours(part->circuit, part->index, i))
            return i;
    return BP_NONE;
}

static void elements(bp_builder *b, const bp_part *part) {
    size_t middle = bp_build_middle(b, part);
    bp_build_resistor(b, bp_build_harness(b, part, 0), middle);
    bp_build_resistor(b, middle, bp_build_harness(b, part, 1));
    bp_build_resistor(b, middle, bp_build_body(b));
    bp_build_resistor(b, middle, bp_build_feed(b));
    for (size_t i = part->index; (i = next_neighbour(part, i)) != BP_NONE;)
        bp_build_resistor(b, middle, bp_build_middle(b, &part->circuit->parts[i]));
}

static double temperature(const bp_view *view) {
    return view->param[BP_WIRE_PLACE] > BP_WIRE_IN_CABIN ? view->around->engine
                                                         : view->around->ambient;
}

static double ohms(const double *param) {
    return COPPER * param[BP_WIRE_LENGTH] / param[BP_WIRE_SIZE];
}

double bp_wire_ohms(const bp_part *wire) { return ohms(wire->param); }

static double copper(const bp_view *view) {
    double at20 = ohms(view->param);
    return isnan(at20) ? BP_IDEAL_OHM : bp_copper_at(at20, temperature(view));
}

static double site(const bp_view *view, int mode) {
    const bp_fault *fault = bp_view_fault(view, mode, BP_NONE);
    return fault ? fault->severity : BP_OPEN_OHM;
}

/* The place of a short between this wire and a neighbour. */
static size_t slot_of(const bp_part *part, size_t other) {
    size_t slot = TO_OTHERS;
    for (size_t i = part->index; (i = next_neighbour(part, i)) != other && i != BP_NONE;)
        slot++;
    return slot;
}

static void values(const bp_view *view, double *value) {
    const bp_fault *resistance = bp_view_fault(view, BP_WIRE_RESISTANCE, BP_NONE);
    double half = copper(view) / 2;
    value[HALF_1] = bp_view_fault(view, BP_WIRE_OPEN, BP_NONE) ? BP_OPEN_OHM : half;
    value[HALF_2] = half + (resistance ? resistance->severity : 0);
    value[TO_GROUND] = site(view, BP_WIRE_SHORT_TO_GROUND);
    value[TO_FEED] = site(view, BP_WIRE_SHORT_TO_FEED);
    size_t n = bp_deck_n_part_values(view->deck, view->part->index);
    for (size_t i = TO_OTHERS; i < n; i++)
        value[i] = BP_OPEN_OHM;
    for (size_t i = 0; i < view->n_faults; i++) {
        if (view->faults[i].mode != BP_WIRE_SHORT_TO)
            continue;
        size_t slot = slot_of(view->part, view->faults[i].partner);
        if (slot < n)
            value[slot] = view->faults[i].severity;
    }
}

/* Current in A that a single flexible cable carries for long in free air at 30 degC with its copper
 * at 70 degC: DIN VDE 0298-4, from memory. Copper warms with the square of the current. */
static const double areas[] = {0.75e-6, 1e-6,  1.5e-6, 2.5e-6, 4e-6,  6e-6,  10e-6,
                               16e-6,   25e-6, 35e-6,  50e-6,  70e-6, 95e-6, 120e-6};
static const double currents[] = {15, 19, 24, 32, 42, 54, 73, 98, 129, 158, 198, 245, 292, 344};
enum { N_AREAS = sizeof areas / sizeof *areas };

/* The most the insulation stands for long: class B of ISO 6722-1, 100 degC (from memory). */
#define HOTTEST 100.0

static double most_current(double area, double celsius) {
    double rated = bp_curve_log(areas, currents, N_AREAS, area);
    if (area < areas[0]) /* thinner than the table: its first two rows go on */
        rated = currents[0] *
                pow(area / areas[0], log(currents[1] / currents[0]) / log(areas[1] / areas[0]));
    return rated * sqrt(fmax(HOTTEST - celsius, 5) / (70 - 30));
}

static const char *const says[] = {"overheats", NULL};

static void behave(const bp_view *view, bp_behaviour *out) {
    double size = view->param[BP_WIRE_SIZE];
    if (isnan(size))
        return;
    double current = fmax(fabs(bp_view_current(view, HALF_1)), fabs(bp_view_current(view, HALF_2)));
    double most = most_current(size, temperature(view));
    if (current <= most)
        return;
    out->says = says[0];
    out->value = current;
    out->unit = BP_UNIT_AMPERE;
    snprintf(out->words, sizeof out->words,
             "overheats: carries %.3g A, and %.2g A is the most its insulation stands", current,
             most);
}

const bp_model bp_model_wire = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
};
