/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Clamp around a wire: a Hall-effect jaw for direct current that burdens nothing. It sits at the
 * wire's `from` end, its arrow towards `to`. Ranges of 60 and 600 A with 10 mA the smallest step, 2
 * % + 5 counts, and a zero that has drifted by up to 0.1 A since it was last set: data-sheet
 * typical of workshop clamps, so what a parked vehicle draws stays below what it can tell.
 */
#include <math.h>

#include "sim/instrument.h"

#define LOWEST_COUNT 10e-3
#define MOST_AMPERE 600.0
#define PERCENT 0.02
#define COUNTS 5
#define ZERO_DRIFT 0.1
enum { RANGES = 2 };

static void elements(bp_builder *b, const bp_plan *plan) {
    (void)b;
    (void)plan;
}

static void connect(const bp_deck *deck, size_t pair, double *values) {
    (void)deck;
    (void)pair;
    (void)values;
}

/* The wire's first piece begins at its `from` end. */
static bp_raw read_clamp(bp_rig *rig, size_t pair) {
    const bp_deck *d = rig->deck;
    const size_t value = bp_deck_first_value(d, d->plan.pair[pair][0]);
    const bp_element *e = bp_deck_element_of_value(d, value);
    bp_raw raw = BP_RAW_INIT;
    raw.value = (rig->volts[e->plus] - rig->volts[e->minus]) / rig->values[value];
    if (fabs(raw.value) >= MOST_AMPERE)
        raw.status = BP_READING_OVER;
    return raw;
}

static double count(double value) { return bp_count_of(value, LOWEST_COUNT, RANGES); }

static void show(double value, char *text, size_t size) {
    bp_show_counts(value, count(value), BP_UNIT_AMPERE, text, size);
}

static double accuracy(double value) {
    return PERCENT * fabs(value) + COUNTS * count(value) + ZERO_DRIFT;
}

/* On a wire of a milliohm, which is little. */
static double slight(const bp_rig *rig, double value) {
    (void)rig;
    return BP_SLIGHT * accuracy(value) * 1e-3;
}

const bp_instrument_def bp_meter_clamp = {.unit = BP_UNIT_AMPERE,
                                          .apart = true,
                                          .elements = elements,
                                          .connect = connect,
                                          .read = read_clamp,
                                          .slight = slight,
                                          .count = count,
                                          .show = show,
                                          .accuracy = accuracy};
