/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the potentiometer's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_POTENTIOMETER_H
#define BP_CIRCUITS_KINDS_POTENTIOMETER_H

enum { BP_POT_PIN_1, BP_POT_PIN_2, BP_POT_PIN_3 };
enum { BP_POT_RESISTANCE, BP_POT_AT_REST, BP_POT_AT_FULL, BP_POT_WIPER };
enum {
    BP_POT_WIPER_OPEN,
    BP_POT_WIPER_RESISTANCE,
    BP_POT_DEAD_SPOT,
    BP_POT_TRACK_OPEN,
    BP_POT_SHIFTED
};

#endif
