/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/ripple.h"

#include <math.h>

static void begin(double *k, double time, double volts) {
    k[BP_RIPPLE_BEGAN] = time;
    k[BP_RIPPLE_HIGHEST] = k[BP_RIPPLE_LOWEST] = k[BP_RIPPLE_EXTREME] = volts;
    k[BP_RIPPLE_FALLING] = 1; /* a peak counts that is met whole */
    k[BP_RIPPLE_PEAKS] = k[BP_RIPPLE_AMPERE_SECONDS] = k[BP_RIPPLE_VOLT_SECONDS] = 0;
}

static void count(double *k, double time, double volts) {
    const double enough = k[BP_RIPPLE_VOLTS] / 4;
    const bool falling = k[BP_RIPPLE_FALLING] != 0;
    const double back = falling ? volts - k[BP_RIPPLE_EXTREME] : k[BP_RIPPLE_EXTREME] - volts;
    if (back > enough && enough > 0) {
        if (!falling) {
            k[BP_RIPPLE_LAST] = time;
            k[BP_RIPPLE_FIRST] = k[BP_RIPPLE_PEAKS]++ > 0 ? k[BP_RIPPLE_FIRST] : time;
        }
        k[BP_RIPPLE_FALLING] = !falling;
        k[BP_RIPPLE_EXTREME] = volts;
    } else if (back < 0) {
        k[BP_RIPPLE_EXTREME] = volts;
    }
}

/* From peak to peak: how many fall into a stretch depends on where it begins. */
static double pulses_a_second(const double *k) {
    const double peaks = k[BP_RIPPLE_PEAKS], took = k[BP_RIPPLE_LAST] - k[BP_RIPPLE_FIRST];
    return peaks > 1 && took > 0 ? (peaks - 1) / took : 0;
}

static void end(double *k, double seconds) {
    k[BP_RIPPLE_VOLTS] = k[BP_RIPPLE_HIGHEST] - k[BP_RIPPLE_LOWEST];
    k[BP_RIPPLE_PULSES] = pulses_a_second(k);
    k[BP_RIPPLE_MEAN_AMPS] = k[BP_RIPPLE_AMPERE_SECONDS] / seconds;
    k[BP_RIPPLE_MEAN_VOLTS] = k[BP_RIPPLE_VOLT_SECONDS] / seconds;
    k[BP_RIPPLE_STRETCHES]++;
}

double bp_ripple_ends(const double *memory, double length) {
    return memory[BP_RIPPLE_BEGAN] + length;
}

bool bp_ripple_watch(double *memory, double before, double time, double length, double amps,
                     double volts) {
    static const double slack = 1e-9; /* of rounding, s */
    const double dt = time - before;
    double *k = memory;
    if (dt <= 0)
        begin(k, time, volts);
    k[BP_RIPPLE_HIGHEST] = fmax(k[BP_RIPPLE_HIGHEST], volts);
    k[BP_RIPPLE_LOWEST] = fmin(k[BP_RIPPLE_LOWEST], volts);
    k[BP_RIPPLE_AMPERE_SECONDS] += amps * dt;
    k[BP_RIPPLE_VOLT_SECONDS] += volts * dt;
    count(k, time, volts);
    if (time < bp_ripple_ends(k, length) - slack)
        return false;
    end(k, time - k[BP_RIPPLE_BEGAN]);
    begin(k, time, volts);
    return k[BP_RIPPLE_STRETCHES] > 2;
}
