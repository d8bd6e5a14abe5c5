/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the lamp's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_LAMP_H
#define BP_CIRCUITS_KINDS_LAMP_H

enum { BP_LAMP_PIN_1, BP_LAMP_PIN_2 };
enum { BP_LAMP_POWER, BP_LAMP_VOLTS };
enum { BP_LAMP_OPEN, BP_LAMP_SHORT, BP_LAMP_WRONG_BULB, BP_LAMP_BLACKENED };

#endif
