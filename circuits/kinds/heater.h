/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the heater's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_HEATER_H
#define BP_CIRCUITS_KINDS_HEATER_H

enum { BP_HEATER_PIN_1, BP_HEATER_PIN_2 };
enum { BP_HEATER_POWER, BP_HEATER_VOLTS, BP_HEATER_RISE };
enum {
    BP_HEATER_OPEN,
    BP_HEATER_PARTLY_BROKEN,
    BP_HEATER_PARTLY_SHORTED,
    BP_HEATER_RESISTANCE,
    BP_HEATER_GROUND_LEAK
};

#endif
