/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the sender's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_SENDER_H
#define BP_CIRCUITS_KINDS_SENDER_H

enum { BP_SENDER_PIN_1, BP_SENDER_PIN_2 };
enum { BP_SENDER_EMPTY, BP_SENDER_FULL };
enum { BP_SENDER_OPEN, BP_SENDER_SHORT, BP_SENDER_STUCK, BP_SENDER_RESISTANCE };

#endif
