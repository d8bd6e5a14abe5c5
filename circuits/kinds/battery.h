/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the battery's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_BATTERY_H
#define BP_CIRCUITS_KINDS_BATTERY_H

enum { BP_BATTERY_PIN_PLUS, BP_BATTERY_PIN_MINUS };
enum { BP_BATTERY_CHARGED, BP_BATTERY_CAPACITY, BP_BATTERY_CCA, BP_BATTERY_OHM };
enum {
    BP_BATTERY_CHARGE,
    BP_BATTERY_WEAK_CELL,
    BP_BATTERY_RESISTANCE,
    BP_BATTERY_SHORTED_CELL,
    BP_BATTERY_OPEN
};

#endif
