/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Spark tester: two points in open air, drawn apart until the spark no longer jumps. It takes its
 * place at the end of a lead, so what hangs there otherwise is taken off first (unplug P1).
 *
 * The longest gap follows from the highest voltage that ever stands between the leads, by the table
 * of the American Institute of Electrical Engineers for needle points: peak kilovolts in air at 760
 * mmHg and 25 degC, as it has been reprinted. Between needles a spark scatters widely with
 * humidity.
 */
#include <math.h>
#include <stdio.h>

#include "sim/curve.h"
#include "sim/instrument.h"

static const double volts[] = {0,    5e3,  10e3, 15e3, 20e3, 25e3, 30e3,
                               35e3, 40e3, 45e3, 50e3, 60e3, 70e3};
static const double metres[] = {0,       4.2e-3,  8.5e-3,  13.0e-3, 17.5e-3, 22.0e-3, 26.9e-3,
                                32.0e-3, 38.1e-3, 44.9e-3, 52.0e-3, 68.1e-3, 88.1e-3};
enum { N_ROWS = sizeof volts / sizeof *volts };
_Static_assert(sizeof metres == sizeof volts, "a gap for each voltage");

double bp_spark_gap(double peak_volts) { return bp_curve(volts, metres, N_ROWS, fabs(peak_volts)); }

static double over_time(const bp_scope_run *run, size_t trace) {
    double most = 0;
    for (size_t i = 0; i < run->n; i++)
        most = fmax(most, fabs(run->traces[trace].value[i]));
    return bp_spark_gap(most);
}

/* Two turns of the crankshaft: every cylinder has had its turn. */
static double window(double speed) {
    static const double standing = 0.05; /* s */
    return speed > 0 ? 2 * 60 / speed : standing;
}

/* In half millimetres, as one reads a gap, and in hundredths of an inch. */
static void show(double value, char *text, size_t size) {
    const double step = 0.5e-3;
    snprintf(text, size, "%.1f mm (%.2f in)", 1e3 * step * round(value / step), value / 0.0254);
}

/* Scatter of needle gaps with humidity and points: a tenth, common practice. */
static double accuracy(double value) { return 0.1 * value; }

const bp_instrument_def bp_meter_spark = {.unit = BP_UNIT_METRE,
                                          .show = show,
                                          .accuracy = accuracy,
                                          .over_time = over_time,
                                          .window = window};
