/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The degrees of two faults at once, fitted to a case's readings.
 */
#ifndef BP_DIAGNOSE_PAIR_FIT_H
#define BP_DIAGNOSE_PAIR_FIT_H

#include "diagnose/diagnosis.h"

typedef struct bp_pair_fit {
    double severity[2];  /* that fit best; NAN where a fault has none */
    double log_best;     /* log likelihood of the readings at those */
    double log_evidence; /* that less what the freedom to choose them costs */
} bp_pair_fit;

typedef struct bp_pair_fitter bp_pair_fitter;

/* NULL: no memory. */
bp_pair_fitter *bp_pair_fitter_new(const bp_diagnosis *diagnosis, bp_report *report);
void bp_pair_fitter_free(bp_pair_fitter **fitter);

/* Fits the faults of two rows, from those rows' severities on. False: no memory. */
bool bp_pair_fitter_run(bp_pair_fitter *fitter, size_t one, size_t two, bp_pair_fit *fit);

#endif
