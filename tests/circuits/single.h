/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One part X in a circuit of its own, for tests of what a kind declares and refuses.
 */
#ifndef BP_TESTS_CIRCUITS_SINGLE_H
#define BP_TESTS_CIRCUITS_SINGLE_H

#include "circuits/circuit.h"

typedef struct single {
    bp_circuit *circuit;
    bp_report *report;
    const bp_part *part; /* X; NULL when the circuit has mistakes */
} single;

/* keys: key and value in turn, NULL-ended; pins: those of X that get a wire, NULL-ended. */
void single_set(single *s, const char *kind, const char *const *keys, const char *const *pins);
void single_clear(single *s);

/* Is there exactly one mistake, and does it hold this text? */
bool single_refused(const single *s, const char *text);

/* Does X have the failure mode? Fails the test when its kind declares none of that name. */
bool single_fails_by(const single *s, const char *mode);

/* Value of a parameter of X; and its lower and upper end of what good parts have (95 %). */
double single_param(const single *s, const char *key);
double single_low(const single *s, const char *key);
double single_high(const single *s, const char *key);

#endif
