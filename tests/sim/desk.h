/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A circuit on the desk, for tests of how parts behave: written as the bodies of `parts:`, `wires:`
 * and `states:` in flow style, asked for one reading or one observation at a time, through the
 * public calls only. Whatever goes wrong fails the running test with the program's own words.
 */
#ifndef BP_TESTS_SIM_DESK_H
#define BP_TESTS_SIM_DESK_H

#include <backprobe/predict.h>

#include "sim/model.h"

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

/* What a part of two pins and one resistor says it does next with so many amperes through it, and
 * at this temperature (NAN: the usual one): no solver, the volts across it are set by hand. */
bp_move desk_next_at(desk *d, const char *part, double amps, double ambient);

/* Extremes of a reading that does not stand still in the first state; fails the test when it does.
 */
void desk_swing(desk *d, const char *faults, const char *red, const char *black, double *low,
                double *high);

/* Fails the test unless |got - want| <= within; `what` names the source or the sum behind it. */
void desk_near(double got, double want, double within, const char *what);

#endif
