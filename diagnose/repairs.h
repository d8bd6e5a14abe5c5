/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the book of repairs says about the faults of a circuit, as the ranking takes it.
 */
#ifndef BP_DIAGNOSE_REPAIRS_H
#define BP_DIAGNOSE_REPAIRS_H

#include <backprobe/repairs.h>

#include "diagnose/prior.h"

/* How often each of the n faults stands in the book, whatever its degree. Entries that were struck
 * out do not count; how many there are about faults that the circuit does not have is told as a
 * note. */
bp_status bp_repairs_counts(bp_repairs *book, const bp_circuit *circuit,
                            const bp_fault_row *const *faults, size_t n, double *counts,
                            bp_report *report);

/* A bp_weigh whose data is an open book (bp_repairs *): the faults' shares are taken as Dirichlet
 * distributed with the weights as parameters, so that a weight of 1 is worth one repair, and the
 * book's repairs as draws from them. What comes back is the posterior mean of the shares, times
 * the sum that the weights had (Gelman et al., Bayesian Data Analysis, 3rd edition, section 3.4).
 */
bp_status bp_repairs_weigh(void *book, const bp_circuit *circuit, const bp_fault_row *const *faults,
                           size_t n, double *weight, bp_report *report);

#endif
