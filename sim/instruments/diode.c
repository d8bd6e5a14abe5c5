/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Diode test: shows the volts that a current of about 1 mA drops between the leads, red lead on the
 * anode. 3.0 V stand at open leads, 2.4 kohm let 1 mA through a silicon junction of 0.6 V; more
 * than 2 V are shown as OL, so a junction the wrong way round and an open circuit look alike.
 * 1 % + 3 counts of 1 mV. All data-sheet typical of a workshop multimeter.
 */
#include <math.h>

#include "sim/test_current.h"

#define RANGE_OHM 2.4e3
#define MOST_VOLTS 2.0
#define COUNT 1e-3
#define PERCENT 0.01
#define COUNTS 3

static bp_raw read_diode(bp_rig *rig, size_t pair) {
    (void)pair; /* the leads are on it already */
    bp_raw raw = BP_RAW_INIT;
    const double standing = bp_test_current_standing(rig);
    if (bp_test_current_is_live(standing))
        return bp_raw_none(BP_WHY_LIVE_DIODE, standing);
    if (!bp_test_current_inject(rig, RANGE_OHM))
        return bp_raw_none(BP_WHY_UNSOLVED, NAN);
    raw.value = bp_test_current_volts(rig);
    if (raw.value >= MOST_VOLTS)
        raw.status = BP_READING_OVER;
    return raw;
}

static void show(double value, char *text, size_t size) {
    bp_show_counts(value, COUNT, BP_UNIT_VOLT, text, size);
}

static double accuracy(double value) { return PERCENT * fabs(value) + COUNTS * COUNT; }

static double slight(const bp_rig *rig, double value) {
    (void)rig;
    return BP_SLIGHT * accuracy(value);
}

const bp_instrument_def bp_meter_diode = {.unit = BP_UNIT_VOLT,
                                          .elements = bp_test_current_elements,
                                          .connect = bp_test_current_connect,
                                          .read = read_diode,
                                          .slight = slight,
                                          .show = show,
                                          .accuracy = accuracy};
