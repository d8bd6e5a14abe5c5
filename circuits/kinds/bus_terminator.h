/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the bus terminator's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_BUS_TERMINATOR_H
#define BP_CIRCUITS_KINDS_BUS_TERMINATOR_H

enum { BP_TERMINATOR_PIN_H, BP_TERMINATOR_PIN_L };
enum { BP_TERMINATOR_RESISTANCE };
enum { BP_TERMINATOR_OPEN, BP_TERMINATOR_SHORT, BP_TERMINATOR_DRIFTED };

#endif
