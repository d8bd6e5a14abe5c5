/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the book of repairs says about the faults of a circuit, as the ranking takes it.
 */
#ifndef BP_DIAGNOSE_REPAIRS_H
#define BP_DIAGNOSE_REPAIRS_H

#include <backprobe/repairs.h>

#include "circuits/fault.h"

/* How often each of the n faults of `rows` (bp_fault_list of the circuit) stands in the book,
 * whatever its degree; entries that were struck out do not count, those about faults that the
 * circuit does not have are told as a note. A closed book (NULL) counts nothing. */
bp_status bp_repairs_counts(bp_repairs *book, const bp_circuit *circuit, const bp_fault_row *rows,
                            size_t n, size_t *counts, bp_report *report);

/* The weights after `counts` repairs. The faults' shares are taken as Dirichlet distributed with
 * the weights of the modes as parameters, so that a weight of 1 is worth one repair; repairs are
 * draws from them, and the posterior's parameters are weight + count. The posterior mean of a share
 * is its weight over the sum of all (Gelman et al., Bayesian Data Analysis, section 3.4). */
void bp_repairs_posterior(const bp_fault_row *rows, const size_t *counts, size_t n,
                          double *weights);

#endif
