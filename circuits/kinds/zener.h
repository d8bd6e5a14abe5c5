/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the zener diode's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_ZENER_H
#define BP_CIRCUITS_KINDS_ZENER_H

enum { BP_ZENER_PIN_A, BP_ZENER_PIN_K };
enum { BP_ZENER_VOLTS, BP_ZENER_POWER, BP_ZENER_SLOPE, BP_ZENER_TEST_CURRENT };
enum { BP_ZENER_OPEN, BP_ZENER_SHORT, BP_ZENER_LEAKY, BP_ZENER_REVERSED, BP_ZENER_WRONG_VOLTAGE };

#endif
