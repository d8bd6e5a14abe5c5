/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/kick.h"

static const double well_below = 0.7;

void bp_kick_begin(double *k) { k[BP_KICK_VOLTS] = k[BP_KICK_TOLD] = 0; }

void bp_kick_watch(bp_moment *m, double *k, double volts, double least, size_t which) {
    if (volts > k[BP_KICK_VOLTS]) {
        k[BP_KICK_VOLTS] = volts;
        k[BP_KICK_AT] = m->time;
    }
    if (k[BP_KICK_TOLD] != 0 || k[BP_KICK_VOLTS] < least || volts > well_below * k[BP_KICK_VOLTS])
        return;
    k[BP_KICK_TOLD] = 1;
    bp_moment_tell_of(m, which, k[BP_KICK_VOLTS], k[BP_KICK_AT]);
}
