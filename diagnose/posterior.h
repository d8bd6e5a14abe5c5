/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is thought after readings: probabilities of the faults, and what a further test would show.
 *
 *     bp_posterior *p = bp_posterior_new(atlas, &prior, evidence, n);
 *     bp_posterior_fault(p, f);                      // probability of a fault, all severities
 *     bp_outlook *outlook = bp_outlook_new(p);
 *     bp_outlook_take(outlook, h);                         // a hypothesis that is still alive ...
 *     bp_outlook_predict(outlook, test);                   // ... and what it says a test would
 * show bp_posterior *q = bp_posterior_with(p, &one_more);   // as if that had been read too
 *
 * Every reading is drawn, under one hypothesis, from a Gaussian whose covariance is that of the
 * shared tolerances plus the meter's own; or it is a slip. A hypothesis is a row of the atlas or a
 * place between two of them.
 */
#ifndef BP_DIAGNOSE_POSTERIOR_H
#define BP_DIAGNOSE_POSTERIOR_H

#include "diagnose/prior.h"

/* One reading, in the atlas's terms. Its cells must be there in every row that is alive
 * (bp_atlas_want); a row without them counts as one where the test shows nothing in particular. */
typedef struct bp_evidence {
    size_t test;
    bp_seen_sort sort;
    double value;     /* BP_SEEN_VALUE */
    double digit;     /* half of the last digit as written */
    const char *word; /* BP_SEEN_WORD */
    bp_present present;
    bool lasting; /* what it shows does not come and go with the trouble (the battery at rest) */
} bp_evidence;

typedef enum bp_hypothesis_sort {
    BP_HYPOTHESIS_FAULT,
    BP_HYPOTHESIS_HEALTHY,
    BP_HYPOTHESIS_ABSENT /* the fault is there, but was away whenever a meter was on it; counts as
                        the suspect "absent" */
} bp_hypothesis_sort;

typedef struct bp_hypothesis {
    bp_hypothesis_sort sort;
    size_t fault;       /* BP_NONE for healthy */
    size_t row, next;   /* next = row, or the row that `between` leads to */
    double between;     /* 0 = row, 1 = next, linear on the mode's scale */
    double severity;    /* NAN */
    double probability; /* all hypotheses and `other` sum to 1 */
    double fit;         /* log likelihood of the readings, slips included */
} bp_hypothesis;

typedef struct bp_posterior bp_posterior;

/* The atlas and the prior must outlive it. NULL: no memory. */
bp_posterior *bp_posterior_new(const bp_atlas *atlas, const bp_prior *prior,
                               const bp_evidence *evidence, size_t n);
/* A new one with one reading more; starts from the hypotheses that are alive in this one. */
bp_posterior *bp_posterior_with(const bp_posterior *p, const bp_evidence *evidence);
void bp_posterior_free(bp_posterior **p);

const bp_atlas *bp_posterior_atlas(const bp_posterior *p);
size_t bp_posterior_n_evidence(const bp_posterior *p);
const bp_evidence *bp_posterior_evidence(const bp_posterior *p, size_t i);

/* Those alive (together all but a millionth), by row. */
size_t bp_posterior_n(const bp_posterior *p);
const bp_hypothesis *bp_posterior_at(const bp_posterior *p, size_t hypothesis);

/* Probabilities of the suspects; together with all faults' they sum to 1. */
double bp_posterior_fault(const bp_posterior *p, size_t fault);
double bp_posterior_healthy(const bp_posterior *p);
double bp_posterior_absent(const bp_posterior *p);
double bp_posterior_other(const bp_posterior *p);
/* Probability of the readings as a whole, log; to compare with other ways to explain them. */
double bp_posterior_evidence_log(const bp_posterior *p);

/* Posterior quantile of a fault's severity (0.5: the median); NAN when it has none. */
double bp_posterior_severity(const bp_posterior *p, size_t fault, double quantile);

/* Probability that reading i was a slip, over everything; and under one hypothesis. */
double bp_posterior_slip(const bp_posterior *p, size_t i);
double bp_posterior_slip_under(const bp_posterior *p, size_t hypothesis, size_t i);

/* What a test would show under a hypothesis, given the readings taken so far: a Gaussian with the
 * meter's own spread in it, or a category. Slips of the test itself are not in it (prior.slip). */
typedef struct bp_predicted {
    bp_cell_sort sort;
    double mean, sd;  /* BP_CELL_VALUE */
    const char *says; /* BP_CELL_SAYS */
} bp_predicted;

/* One hypothesis's outlook on tests to come. NULL: no memory. */
typedef struct bp_outlook bp_outlook;
bp_outlook *bp_outlook_new(const bp_posterior *p);
void bp_outlook_take(bp_outlook *outlook,
                     size_t hypothesis); /* before the first bp_outlook_predict */
bp_predicted bp_outlook_predict(const bp_outlook *outlook, size_t test);
void bp_outlook_free(bp_outlook **outlook);

#endif
