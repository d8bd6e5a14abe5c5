/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the resistor's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_RESISTOR_H
#define BP_CIRCUITS_KINDS_RESISTOR_H

enum { BP_RESISTOR_PIN_1, BP_RESISTOR_PIN_2 };
enum { BP_RESISTOR_RESISTANCE, BP_RESISTOR_TOLERANCE, BP_RESISTOR_ALPHA };
enum { BP_RESISTOR_OPEN, BP_RESISTOR_SHORT, BP_RESISTOR_DRIFTED };

#endif
