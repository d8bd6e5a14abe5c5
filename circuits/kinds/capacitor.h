/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the capacitor's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_CAPACITOR_H
#define BP_CIRCUITS_KINDS_CAPACITOR_H

enum { BP_CAPACITOR_PIN_1, BP_CAPACITOR_PIN_2 };
enum { BP_CAPACITOR_CAPACITANCE, BP_CAPACITOR_VOLTS, BP_CAPACITOR_LEAKAGE };
enum { BP_CAPACITOR_OPEN, BP_CAPACITOR_SHORT, BP_CAPACITOR_LEAKY };

#endif
