/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A circuit on the desk, for tests of how parts behave: written as the bodies of `parts:`, `wires:`
 * and `states:` in flow style, asked for one reading or one observation at a time, through the
 * public calls only. Whatever goes wrong fails the running test with the program's own words.
 */
#ifndef BP_TESTS_SIM_DESK_H
#define BP_TESTS_SIM_DESK_H

#include <backprobe/predict.h>

typedef struct desk {
    bp_question question; /* what the next questions have in common: ambient, supply, after ... */
    bp_circuit *circuit;
    bp_report *report;
    bp_lab *lab;
} desk;

/* states NULL: the one state that every circuit has. */
void desk_set(desk *d, const char *parts, const char *wires, const char *states);
void desk_clear(desk *d);

/* Volts from red to black (NULL: the reference) in a state (NULL: the first), with faults (NULL:
 * healthy), not rounded to the meter's digits. Reading millivolts, it is the same in volts. */
double desk_volts(desk *d, const char *state, const char *faults, const char *red,
                  const char *black);

/* What is noticed of a part: one of its kind's ids, or "" when there is nothing to say. *value may
 * be NULL. The id stays valid until the program ends. */
const char *desk_says(desk *d, const char *state, const char *faults, const char *part,
                      double *value);

/* Is the part among those found blown? */
bool desk_blown(desk *d, const char *state, const char *faults, const char *part);

/* Fails the test unless |got - want| <= within; `what` names the source or the sum behind it. */
void desk_near(double got, double want, double within, const char *what);

#endif
