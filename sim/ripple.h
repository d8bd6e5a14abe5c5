/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ripple on a voltage, measured while a run goes on, stretch by stretch: peak to peak, pulses a
 * second, and means.
 */
#ifndef BP_SIM_RIPPLE_H
#define BP_SIM_RIPPLE_H

#include <stdbool.h>

/* What a part keeps in its memory for it, all 0 at first. The first five are what came out of the
 * last whole stretch. */
enum {
    BP_RIPPLE_VOLTS,  /* peak to peak */
    BP_RIPPLE_PULSES, /* a second; a pulse counts that falls by a quarter of the ripple before */
    BP_RIPPLE_MEAN_AMPS,
    BP_RIPPLE_MEAN_VOLTS,
    BP_RIPPLE_STRETCHES,
    BP_RIPPLE_BEGAN,
    BP_RIPPLE_HIGHEST,
    BP_RIPPLE_LOWEST,
    BP_RIPPLE_EXTREME, /* since it last turned round */
    BP_RIPPLE_FALLING, /* it did so at a peak */
    BP_RIPPLE_PEAKS,
    BP_RIPPLE_FIRST, /* s: when the first and the last of them were found */
    BP_RIPPLE_LAST,
    BP_RIPPLE_AMPERE_SECONDS,
    BP_RIPPLE_VOLT_SECONDS,
    BP_RIPPLE_MEMORY
};

/* One more instant; stretches are `length` s long. True at the end of one that can be trusted: the
 * first begins from nothing, and the second counts pulses by it. */
bool bp_ripple_watch(double *memory, double before, double time, double length, double amps,
                     double volts);
/* When the present one ends, s. */
double bp_ripple_ends(const double *memory, double length);

#endif
