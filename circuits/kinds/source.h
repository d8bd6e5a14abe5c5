/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the voltage source's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_SOURCE_H
#define BP_CIRCUITS_KINDS_SOURCE_H

enum { BP_SOURCE_PIN_PLUS, BP_SOURCE_PIN_MINUS };
enum { BP_SOURCE_EMF, BP_SOURCE_OHM };
enum { BP_SOURCE_OPEN, BP_SOURCE_LOW, BP_SOURCE_RESISTANCE };

#endif
