/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A toothed wheel that turns with the engine: which tooth stands before a sensor, and how far it
 * has passed. The middle of a tooth is at half its pitch; the first pitch begins at time 0. The
 * missing ones are the last of the wheel.
 */
#ifndef BP_SIM_WHEEL_H
#define BP_SIM_WHEEL_H

#include "sim/model.h"

typedef struct bp_wheel {
    double places;  /* teeth and missing ones, >= 1 */
    double missing; /* of them, < places */
    double rate;    /* places that pass in a second; 0: it stands */
} bp_wheel;

/* A wheel that turns `turns` times for each turn of the crankshaft, at the speed of the state. */
bp_wheel bp_wheel_of(const bp_view *view, double places, double missing, double turns);

/* Place of the wheel before the sensor at this time (0 .. places - 1), and the share of its pitch
 * that has passed (0 .. 1). Before time 0 the wheel stands at the start of place 0. */
double bp_wheel_place(const bp_wheel *wheel, double time, double *share);
/* Is a tooth there, or is this place empty? */
bool bp_wheel_has_tooth(const bp_wheel *wheel, double place);
/* The first time after this one at which `share` of a pitch has passed; INFINITY: it stands. */
double bp_wheel_next(const bp_wheel *wheel, double time, double share);

/* How the change of the field at a sensor falls off with the gap: exp(-2 pi gap / pitch), the first
 * harmonic of a field that repeats with the pitch (Laplace's equation). Share left when the gap
 * grows by `more`, same unit as pitch; above 1 when it shrinks. */
double bp_wheel_field(double more, double pitch);

#endif
