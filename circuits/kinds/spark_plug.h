/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the spark plug's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_SPARK_PLUG_H
#define BP_CIRCUITS_KINDS_SPARK_PLUG_H

enum { BP_PLUG_PIN_4, BP_PLUG_PIN_31 };
enum {
    BP_PLUG_GAP,
    BP_PLUG_DENSITY,
    BP_PLUG_DENSITY_CRANKING,
    BP_PLUG_RESISTOR,
    BP_PLUG_CAPACITANCE
};
enum {
    BP_PLUG_WIDE_GAP,
    BP_PLUG_BRIDGED,
    BP_PLUG_FOULED,
    BP_PLUG_RESISTOR_OPEN,
    BP_PLUG_FLASHES_OVER
};

#endif
