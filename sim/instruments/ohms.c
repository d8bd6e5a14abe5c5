/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ohmmeter: 3 V behind a range resistor that lets 1 mA flow into a short in the lowest range and
 * ten times less in each next one; data-sheet typical. The circuit's switches stand as in the
 * state, so sneak paths count, and so do the leads (0.1 ohm each: common practice), which is why
 * 0.2 ohm in a heavy circuit hides from it.
 */
#include <math.h>

#include "sim/instrument.h"

#define SOURCE_VOLTS 3.0
#define LOWEST_RANGE_OHM 3e3 /* range resistor for 0 to 600 ohm */
#define LEAD_OHM 0.1
#define INPUT_OHM 10e6
/* More than this between the leads falsifies the reading. */
#define LIVE_VOLTS 10e-3
#define LOWEST_COUNT 0.1 /* ohm: 600.0 ohm, 6.000 kohm ... 60.00 Mohm */
#define FULL_COUNTS 6000
#define PERCENT 0.009
#define COUNTS 2
enum { RANGES = 6 };

/* Places of the values. */
enum { SOURCE, RANGE, INPUT, LEADS };

static void elements(bp_builder *b, const bp_plan *plan) {
    const size_t red = bp_build_node(b), black = bp_build_node(b), inside = bp_build_node(b);
    bp_build_voltage(b, inside, black);
    bp_build_resistor(b, inside, red);
    bp_build_resistor(b, red, black);
    bp_leads_build(b, plan, red, black);
}

/* Connected as a voltmeter: first it looks whether the circuit is dead. */
static void connect(const bp_deck *deck, size_t pair, double *values) {
    double *own = &values[deck->first_meter];
    own[SOURCE] = SOURCE_VOLTS;
    own[RANGE] = BP_OPEN_OHM;
    own[INPUT] = INPUT_OHM;
    bp_leads_connect(deck, LEADS, pair, LEAD_OHM, values);
}

/* Volts across one of the meter's own elements. */
static double across(const bp_rig *rig, size_t place) {
    const bp_deck *d = rig->deck;
    const bp_element *e = &d->element[d->element_of[d->first_meter + place]];
    return rig->volts[e->plus] - rig->volts[e->minus];
}

static bp_raw read_ohms(bp_rig *rig, size_t pair) {
    (void)pair; /* the leads are on it already */
    bp_raw raw = {.low = NAN, .high = NAN, .why_value = NAN};
    double *own = &rig->values[rig->deck->first_meter];
    const double standing = across(rig, INPUT);
    if (fabs(standing) > LIVE_VOLTS) {
        raw = (bp_raw){BP_READING_NONE, BP_WHY_LIVE, standing, NAN, NAN, NAN, false};
        return raw;
    }
    own[INPUT] = BP_OPEN_OHM;
    double full = LOWEST_COUNT * FULL_COUNTS;
    own[RANGE] = LOWEST_RANGE_OHM;
    for (int range = 0; range < RANGES; range++, full *= 10, own[RANGE] *= 10) {
        if (!bp_session_solve(rig->session, rig->values, rig->volts)) {
            raw = (bp_raw){BP_READING_NONE, BP_WHY_UNSOLVED, NAN, NAN, NAN, NAN, false};
            return raw;
        }
        const double ampere = across(rig, RANGE) / own[RANGE];
        raw.value = ampere > 0 ? fmax(0, across(rig, INPUT) / ampere) : INFINITY;
        if (raw.value < full)
            return raw;
    }
    raw.status = BP_READING_OVER;
    return raw;
}

static double count(double value) { return bp_count_of(value, LOWEST_COUNT, RANGES); }

static void show(double value, char *text, size_t size) {
    bp_show_counts(value, count(value), BP_UNIT_OHM, text, size);
}

static double accuracy(double value) { return PERCENT * fabs(value) + COUNTS * count(value); }

const bp_instrument_def bp_meter_ohms = {.unit = BP_UNIT_OHM,
                                         .elements = elements,
                                         .connect = connect,
                                         .read = read_ohms,
                                         .show = show,
                                         .accuracy = accuracy};
