/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ohmmeter: 3 V behind a range resistor that lets 1 mA flow into a short in the lowest range and
 * ten times less in each next one; data-sheet typical. The circuit's switches stand as in the
 * state, so sneak paths count, and so do the leads, which is why 0.2 ohm in a heavy circuit hides
 * from it.
 */
#include <math.h>

#include "sim/test_current.h"

#define LOWEST_RANGE_OHM 3e3 /* range resistor for 0 to 600 ohm */
#define LOWEST_COUNT 0.1     /* ohm: 600.0 ohm, 6.000 kohm ... 60.00 Mohm */
#define FULL_COUNTS 6000
#define PERCENT 0.009
#define COUNTS 2
enum { RANGES = 6 };

static bp_raw read_ohms(bp_rig *rig, size_t pair) {
    (void)pair; /* the leads are on it already */
    bp_raw raw = BP_RAW_INIT;
    const double standing = bp_test_current_standing(rig);
    if (bp_test_current_is_live(standing))
        return bp_raw_none(BP_WHY_LIVE, standing);
    double full = LOWEST_COUNT * FULL_COUNTS, range_ohm = LOWEST_RANGE_OHM;
    for (int range = 0; range < RANGES; range++, full *= 10, range_ohm *= 10) {
        if (!bp_test_current_inject(rig, range_ohm))
            return bp_raw_none(BP_WHY_UNSOLVED, NAN);
        const double ampere = bp_test_current_amps(rig);
        raw.value = ampere > 0 ? fmax(0, bp_test_current_volts(rig) / ampere) : INFINITY;
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
                                         .elements = bp_test_current_elements,
                                         .connect = bp_test_current_connect,
                                         .read = read_ohms,
                                         .show = show,
                                         .accuracy = accuracy};
