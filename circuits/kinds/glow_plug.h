/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the glow plug's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_GLOW_PLUG_H
#define BP_CIRCUITS_KINDS_GLOW_PLUG_H

enum { BP_GLOW_PIN_1, BP_GLOW_PIN_31 };
enum { BP_GLOW_CURRENT, BP_GLOW_VOLTS, BP_GLOW_RISE };
enum { BP_GLOW_OPEN, BP_GLOW_SHORT, BP_GLOW_RESISTANCE, BP_GLOW_WRONG_VOLTAGE };

#endif
