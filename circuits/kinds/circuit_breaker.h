/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the circuit breaker's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_CIRCUIT_BREAKER_H
#define BP_CIRCUITS_KINDS_CIRCUIT_BREAKER_H

enum { BP_BREAKER_PIN_1, BP_BREAKER_PIN_2 };
enum { BP_BREAKER_RATING, BP_BREAKER_RESET, BP_BREAKER_RESISTANCE };

/* How it closes again. */
enum { BP_BREAKER_CYCLING, BP_BREAKER_HOLDS_OPEN, BP_BREAKER_BY_HAND };

enum {
    BP_BREAKER_OPEN,
    BP_BREAKER_BURNT,
    BP_BREAKER_TRIPS_EARLY,
    BP_BREAKER_WELDED,
    BP_BREAKER_WRONG_RATING
};

#endif
