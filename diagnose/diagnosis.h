/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A case at work: its file, the atlas of its circuit, the prior, the readings as evidence, and what
 * follows from them. `match`, `next` and the reply sheet all begin here.
 *
 *     bp_diagnosis *d = bp_diagnosis_new(file, &options, report);
 *     d->posterior ...
 *     bp_diagnosis_free(&d);
 */
#ifndef BP_DIAGNOSE_DIAGNOSIS_H
#define BP_DIAGNOSE_DIAGNOSIS_H

#include <backprobe/match.h>

#include "diagnose/posterior.h"

typedef struct bp_diagnosis {
    const bp_casefile *file; /* not owned */
    const bp_circuit *circuit;
    bp_atlas *atlas;
    bp_prior prior;
    bp_evidence *evidence; /* the battery's resting voltage last, when it was measured */
    size_t n_evidence;
    size_t n_left_out; /* behind them: readings that count for nothing, since too many rows would
                          have to run for them */
    size_t *reading;   /* by evidence: index of the case file's reading; BP_NONE: the battery's */
    bp_posterior *posterior;
} bp_diagnosis;

/* NULL: see the report. The file is kept. */
bp_diagnosis *bp_diagnosis_new(const bp_casefile *file, const bp_match_options *options,
                               bp_report *report);
void bp_diagnosis_free(bp_diagnosis **diagnosis);

/* True when nothing in the case tells the supply: no reading across the battery or source, and no
 * resting voltage. *test (may be NULL) is the test to make first. */
bool bp_diagnosis_lacks_supply(const bp_diagnosis *diagnosis, size_t *test);

/* diagnosis_means.c: readings that take runs have their cells in the rows that the others leave,
 * or are left out. */
bp_status bp_diagnosis_want_means(bp_diagnosis *diagnosis, bp_report *report);

/* A state in which nothing is switched on and the battery is alone; else the first. */
size_t bp_resting_state(const bp_circuit *circuit);

#endif
