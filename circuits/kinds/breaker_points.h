/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the breaker points' pins, parameters, settings and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_BREAKER_POINTS_H
#define BP_CIRCUITS_KINDS_BREAKER_POINTS_H

enum { BP_POINTS_PIN_1, BP_POINTS_PIN_31 };
enum { BP_POINTS_CONTACT, BP_POINTS_DWELL, BP_POINTS_SPARKS };
enum { BP_POINTS_SET_CLOSED, BP_POINTS_SET_OPEN, BP_POINTS_SET_TURNING };
enum { BP_POINTS_BURNT, BP_POINTS_DO_NOT_CLOSE, BP_POINTS_DO_NOT_OPEN, BP_POINTS_WIDE };

#endif
