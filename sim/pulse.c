/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/pulse.h"

#include <math.h>

/* An instant that the solver's sum of steps missed by rounding is met, s. */
static const double slack = 1e-10;

static double begun(const bp_pulse *p, double time) {
    return floor((time + slack) / p->period) * p->period;
}

bool bp_pulse_is_on(const bp_pulse *p, double time) {
    return time >= -slack && time - begun(p, time) < p->on - slack;
}

double bp_pulse_next(const bp_pulse *p, double time) {
    if (time < -slack)
        return 0;
    const double since = begun(p, time);
    return since + (time - since < p->on - slack ? p->on : p->period);
}
