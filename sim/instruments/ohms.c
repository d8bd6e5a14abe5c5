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

/* One range, from 0: what it shows, INFINITY when that is over its end. False: no solution. */
static bool try_range(bp_rig *rig, int range, double *ohm) {
    const double scale = pow(10, range);
    if (!bp_test_current_inject(rig, LOWEST_RANGE_OHM * scale))
        return false;
    const double ampere = bp_test_current_amps(rig);
    *ohm = ampere > 0 ? fmax(0, bp_test_current_volts(rig) / ampere) : INFINITY;
    if (*ohm >= LOWEST_COUNT * FULL_COUNTS * scale)
        *ohm = INFINITY;
    return true;
}

/* The lowest range that holds it. The highest is tried second, since most of what the lowest does
 * not hold is open; a junction that some range holds is held by all above. */
static bp_raw read_ohms(bp_rig *rig, size_t pair) {
    (void)pair; /* the leads are on it already */
    static const int order[RANGES + 1] = {0, RANGES - 1, 1, 2, 3, 4, 5};
    bp_raw raw = BP_RAW_INIT;
    const double standing = bp_test_current_standing(rig);
    if (bp_test_current_is_live(standing))
        return bp_raw_none(BP_WHY_LIVE, standing);
    for (int i = 0; i <= RANGES; i++) {
        double ohm;
        if (!try_range(rig, order[i], &ohm))
            return bp_raw_none(BP_WHY_UNSOLVED, NAN);
        if (isinf(ohm) && order[i] == RANGES - 1)
            break;
        if (isfinite(ohm) && i != 1) {
            raw.value = ohm;
            return raw;
        }
    }
    raw.status = BP_READING_OVER;
    return raw;
}

static double count(double value) { return bp_count_of(value, LOWEST_COUNT, RANGES); }

static void show(double value, char *text, size_t size) {
    bp_show_counts(value, count(value), BP_UNIT_OHM, text, size);
}

static double accuracy(double value) { return PERCENT * fabs(value) + COUNTS * count(value); }

static double slight(const bp_rig *rig, double value) {
    return BP_SLIGHT * accuracy(value) * fabs(bp_test_current_amps(rig));
}

const bp_instrument_def bp_meter_ohms = {.unit = BP_UNIT_OHM,
                                         .elements = bp_test_current_elements,
                                         .connect = bp_test_current_connect,
                                         .read = read_ohms,
                                         .slight = slight,
                                         .show = show,
                                         .accuracy = accuracy};
