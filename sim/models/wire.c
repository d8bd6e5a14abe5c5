/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wire: copper, and the place where it chafes through: in its middle, so that the current of a
 * short flows through some of it. A wire of hardly any resistance is one piece and chafes at its
 * far end. An ideal wire is no element at all while nothing is wrong with it (sim/build.h).
 *
 * Slots: the copper in one or two pieces, short to ground, short to feed, then one short to each
 * wire with a higher index that it can touch, so that a pair of wires has one place and not two.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/wire.h"
#include "sim/build.h"
#include "sim/curve.h"
#include "sim/model.h"

/* Slots after the copper's. */
enum { TO_GROUND, TO_FEED, TO_OTHERS };

/* IACS copper, ohm m at 20 degC: NBS Handbook 100. */
#define COPPER 1.7241e-8
/* Below this a wire is one piece, in ohm: halves of it would be joints too good to be solved. */
#define ONE_PIECE 1e-3

static double ohms(const double *param) {
    return COPPER * param[BP_WIRE_LENGTH] / param[BP_WIRE_SIZE];
}

double bp_wire_ohms(const bp_part *wire) { return ohms(wire->param); }
bool bp_wire_is_ideal(const bp_part *wire) { return isnan(bp_wire_ohms(wire)); }

static size_t n_pieces(const bp_part *part) { return bp_wire_ohms(part) >= ONE_PIECE ? 2 : 1; }

/* The next wire above `after` that this one can touch, or BP_NONE. */
static size_t next_beside(const bp_plan *plan, const bp_part *part, size_t after) {
    const bool far = bp_plan_has_wire(plan, part->index);
    for (size_t i = after + 1; i < part->circuit->n_parts; i++)
        if (part->circuit->parts[i].kind == part->kind &&
            (bp_wires_are_neighbours(part->circuit, part->index, i) ||
             (far && bp_plan_has_wire(plan, i))))
            return i;
    return BP_NONE;
}

/* Where a wire chafes through. */
static size_t chafed(bp_builder *b, const bp_part *part) {
    return n_pieces(part) == 2 ? bp_build_middle(b, part) : bp_build_harness(b, part, 1);
}

static void elements(bp_builder *b, const bp_part *part) {
    const bp_plan *plan = bp_builder_plan(b);
    if (bp_wire_is_ideal(part) && !bp_plan_has_wire(plan, part->index))
        return;
    size_t place = chafed(b, part);
    bp_build_resistor(b, bp_build_harness(b, part, 0), place);
    if (n_pieces(part) == 2)
        bp_build_resistor(b, place, bp_build_harness(b, part, 1));
    bp_build_resistor(b, place, bp_build_body(b));
    bp_build_resistor(b, place, bp_build_feed(b));
    for (size_t i = part->index; (i = next_beside(plan, part, i)) != BP_NONE;)
        bp_build_resistor(b, place, chafed(b, &part->circuit->parts[i]));
}

static double temperature(const bp_view *view) {
    return view->param[BP_WIRE_PLACE] > BP_WIRE_IN_CABIN ? view->around->engine
                                                         : view->around->ambient;
}

static double copper(const bp_view *view) {
    double at20 = ohms(view->param);
    return isnan(at20) ? BP_METAL_OHM : bp_copper_at(at20, temperature(view));
}

static double site(const bp_view *view, int mode) {
    const bp_fault *fault = bp_view_fault(view, mode, BP_NONE);
    return fault ? fault->severity : BP_OPEN_OHM;
}

/* Which of the wires that this one can touch is the other, counted from 0. */
static size_t place_of(const bp_plan *plan, const bp_part *part, size_t other) {
    size_t place = 0;
    for (size_t i = part->index; (i = next_beside(plan, part, i)) != other && i != BP_NONE;)
        place++;
    return place;
}

static void values(const bp_view *view, double *value) {
    const bp_plan *plan = &view->deck->plan;
    size_t n = bp_deck_n_part_values(view->deck, view->part->index);
    size_t pieces = n_pieces(view->part);
    if (n == 0)
        return;
    const bp_fault *resistance = bp_view_fault(view, BP_WIRE_RESISTANCE, BP_NONE);
    double piece = copper(view) / (double)pieces;
    value[pieces - 1] = piece + (resistance ? resistance->severity : 0);
    if (pieces == 2)
        value[0] = piece;
    if (bp_view_fault(view, BP_WIRE_OPEN, BP_NONE))
        value[0] = BP_OPEN_OHM;
    value[pieces + TO_GROUND] = site(view, BP_WIRE_SHORT_TO_GROUND);
    value[pieces + TO_FEED] = site(view, BP_WIRE_SHORT_TO_FEED);
    for (size_t i = pieces + TO_OTHERS; i < n; i++)
        value[i] = BP_OPEN_OHM;
    for (size_t i = 0; i < view->n_faults; i++)
        if (view->faults[i].mode == BP_WIRE_SHORT_TO)
            value[pieces + TO_OTHERS + place_of(plan, view->part, view->faults[i].partner)] =
                view->faults[i].severity;
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

/* The most that flows in either piece, A. */
static double amps(const bp_view *view) {
    double current = 0;
    for (size_t i = 0; i < n_pieces(view->part); i++)
        current = fmax(current, fabs(bp_view_current(view, i)));
    return current;
}

/* A place gone bad is a few centimetres of corroded strands under their insulation, which shed heat
 * as a crimped terminal does, K/W: from memory. */
#define BAD_PLACE_KELVIN_PER_WATT 30.0

static double warmer(const bp_view *view, double *watts) {
    *watts = 0;
    if (bp_wire_is_ideal(view->part))
        return 0;
    const double celsius = temperature(view), current = amps(view);
    const double times = current / most_current(view->param[BP_WIRE_SIZE], celsius);
    const bp_fault *bad = bp_view_fault(view, BP_WIRE_RESISTANCE, BP_NONE);
    const double there =
        bad ? pow(bp_view_current(view, n_pieces(view->part) - 1), 2) * bad->severity : 0;
    *watts = current * current * copper(view) + there;
    return times * times * (HOTTEST - celsius) + there * BAD_PLACE_KELVIN_PER_WATT;
}

static void behave(const bp_view *view, bp_behaviour *out) {
    double size = view->param[BP_WIRE_SIZE];
    if (bp_wire_is_ideal(view->part))
        return;
    const double current = amps(view);
    double most = most_current(size, temperature(view));
    if (current <= most)
        return;
    out->says = says[0];
    out->value = current;
    out->unit = BP_UNIT_AMPERE;
    char carried[40], limit[40];
    bp_quantity_format(current, BP_UNIT_AMPERE, 3, carried, sizeof carried);
    bp_quantity_format(most, BP_UNIT_AMPERE, 2, limit, sizeof limit);
    snprintf(out->words, sizeof out->words,
             "overheats: carries %s, and %s is the most its insulation stands", carried, limit);
}

const bp_model bp_model_wire = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_FELT,
    .warmer = warmer,
};
