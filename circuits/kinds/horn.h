/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the horn's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_HORN_H
#define BP_CIRCUITS_KINDS_HORN_H

enum { BP_HORN_PIN_1, BP_HORN_PIN_2 };
enum { BP_HORN_CURRENT, BP_HORN_VOLTS, BP_HORN_WINDING, BP_HORN_SOUNDS_FROM, BP_HORN_CROAKS_FROM };
enum { BP_HORN_OPEN, BP_HORN_RESISTANCE, BP_HORN_SEIZED, BP_HORN_OUT_OF_TUNE, BP_HORN_GROUND_LEAK };

#endif
