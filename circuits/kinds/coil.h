/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the coil's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_COIL_H
#define BP_CIRCUITS_KINDS_COIL_H

enum { BP_COIL_PIN_1, BP_COIL_PIN_2 };
enum { BP_COIL_WINDING, BP_COIL_INDUCTANCE, BP_COIL_VOLTS, BP_COIL_PLACE };
enum { BP_COIL_OPEN, BP_COIL_SHORTED_TURNS, BP_COIL_RESISTANCE, BP_COIL_GROUND_LEAK };

#endif
