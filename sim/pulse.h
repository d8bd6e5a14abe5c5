/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What goes on and off in a rhythm: the first time on begins at time 0.
 */
#ifndef BP_SIM_PULSE_H
#define BP_SIM_PULSE_H

#include <stdbool.h>

typedef struct bp_pulse {
    double period, on; /* s; 0 <= on <= period */
} bp_pulse;

/* Is it on at this time? Never before time 0. */
bool bp_pulse_is_on(const bp_pulse *pulse, double time);
/* The first time after this one at which it changes. */
double bp_pulse_next(const bp_pulse *pulse, double time);

#endif
