/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the diode's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_DIODE_H
#define BP_CIRCUITS_KINDS_DIODE_H

enum { BP_DIODE_PIN_A, BP_DIODE_PIN_K };
enum { BP_DIODE_SERIES };
enum { BP_DIODE_OPEN, BP_DIODE_SHORT, BP_DIODE_LEAKY, BP_DIODE_REVERSED };

/* Law of the junction of a 1 A silicon rectifier, shared with the suppression diode of a relay:
 * 0.90 V at 1 A and 0.68 V at 10 mA without its series resistance (data-sheet typical, from
 * memory). */
#define BP_DIODE_SATURATION 6.6e-9 /* A */
#define BP_DIODE_EMISSION 1.85
#define BP_DIODE_SERIES_OHM 0.05

#endif
