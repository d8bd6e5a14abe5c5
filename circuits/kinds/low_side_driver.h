/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the low-side driver's pins, parameters, settings and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_LOW_SIDE_DRIVER_H
#define BP_CIRCUITS_KINDS_LOW_SIDE_DRIVER_H

enum { BP_DRIVER_PIN_OUT, BP_DRIVER_PIN_31, BP_DRIVER_PIN_15 };
enum {
    BP_DRIVER_ON_RESISTANCE,
    BP_DRIVER_LEAKAGE,
    BP_DRIVER_DRAW,
    BP_DRIVER_WORKS_FROM,
    BP_DRIVER_LIMIT
};
enum { BP_DRIVER_SET_OFF, BP_DRIVER_SET_ON };
enum {
    BP_DRIVER_OUTPUT_OPEN,
    BP_DRIVER_OUTPUT_SHORTED,
    BP_DRIVER_NO_REQUEST,
    BP_DRIVER_WEAK,
    BP_DRIVER_LEAKY
};

#endif
