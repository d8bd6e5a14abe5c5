/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/wheel.h"

#include <math.h>

/* What rounding may take from a time that was worked out, in places of the wheel. */
static const double slack = 1e-7;

bp_wheel bp_wheel_of(const bp_view *view, double places, double missing, double turns) {
    const double speed = isnan(view->around->speed) ? 0 : view->around->speed;
    return (bp_wheel){.places = places, .missing = missing, .rate = speed / 60 * turns * places};
}

double bp_wheel_place(const bp_wheel *wheel, double time, double *share) {
    const double passed = fmax(time, 0) * wheel->rate + slack;
    *share = fmax(passed - floor(passed) - slack, 0);
    return fmod(floor(passed), wheel->places);
}

bool bp_wheel_has_tooth(const bp_wheel *wheel, double place) {
    return place < wheel->places - wheel->missing;
}

double bp_wheel_next(const bp_wheel *wheel, double time, double share) {
    if (!(wheel->rate > 0))
        return INFINITY;
    const double passed = fmax(time, 0) * wheel->rate + slack;
    double next = floor(passed) + share;
    if (next <= passed)
        next += 1;
    return next / wheel->rate;
}

double bp_wheel_field(double more, double pitch) {
    return exp(-2 * 3.14159265358979323846 * more / pitch);
}
