/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An independent circuit solver for the tests alone: dense modified nodal analysis with LAPACKE,
 * and Newton's method for what is not linear. It reads the program's deck (elements, nodes, values)
 * and nothing else of it.
 *
 * Every resistor below 1 kohm carries its current as an unknown, so that the micro-ohms of a wire
 * and the tera-ohms of an open contact never meet in one sum: a floating island keeps its true
 * leakage voltage.
 */
#ifndef BP_TESTS_PROOF_MNA_H
#define BP_TESTS_PROOF_MNA_H

#include <stdbool.h>

#include "sim/deck.h"

typedef struct mna_result {
    bool solved;
    bool linear; /* no diode and no law carried in this deck */
    int iterations;
    double residual; /* largest unbalanced current at a node, A */
    const char *why; /* when not solved */
} mna_result;

/* Node voltages of `deck` with the element values `values` (bp_deck_n_values long) into volts
 * (bp_deck_n_nodes long). shunt: ohm from every node to the reference, as the program's deck has
 * it. start: first guess of the node voltages, or NULL. */
mna_result mna_solve(const bp_deck *deck, const double *values, double shunt, const double *start,
                     double *volts);

/* Current through a diode or a law at given node voltages, A from plus to minus. */
double mna_element_current(const bp_element *element, const double *values, const double *volts);

#endif
