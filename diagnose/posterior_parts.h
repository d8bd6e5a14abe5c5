/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a posterior.
 */
#ifndef BP_DIAGNOSE_POSTERIOR_PARTS_H
#define BP_DIAGNOSE_POSTERIOR_PARTS_H

#include "diagnose/gauss.h"
#include "diagnose/posterior.h"

/* A reading that is no number on both sides: how probable it is in the row and in its next, slips
 * included, and as a slip alone. */
typedef struct bp_worded {
    size_t reading;
    double here, there, slip;
} bp_worded;

/* What the readings come to in one row: those that are numbers on both sides as a Gaussian, the
 * others as categories. `away`: readings of unknown presence are compared with the healthy row. */
typedef struct bp_given {
    size_t row;
    bool away;
    size_t n;        /* numbers */
    size_t *reading; /* by number: index of the evidence */
    size_t *source;  /* by number: the row it is compared with */
    double *mean;    /* by number, at the row itself, prior means of the tolerances included; owns
                        the memory of all arrays here */
    double *log_slip;
    bp_worded *worded;
    size_t n_worded;
    bp_gauss gauss;
} bp_given;

/* Where a reading ends up that was meant for another place or another moment. */
typedef struct bp_strayed {
    size_t off;     /* the same leads with everything released; BP_NONE */
    size_t *mirror; /* the same state, other places on the part; owned */
    size_t n_mirrors;
} bp_strayed;

struct bp_posterior {
    const bp_atlas *atlas;
    const bp_prior *prior;
    bp_evidence *evidence;
    size_t n_evidence;
    bp_strayed *strayed; /* by evidence */
    bp_hypothesis *hypothesis;
    size_t n;
    double *log_mass; /* by hypothesis: its prior */
    size_t *given_of; /* by hypothesis: index in given */
    bp_given *given;
    size_t n_given;
    double *slip;     /* by hypothesis, evidence */
    double *residual; /* by hypothesis, evidence: of its numbers, in their order */
    double *fault;    /* by fault */
    double healthy, absent, other, log_evidence;
};

/* The standard deviation of a number as it was read: meter, and the last digit as written. */
double bp_evidence_sd(const bp_atlas *atlas, const bp_evidence *e);

/* categories.c: probability of a reading that is no number on both sides. sd: by how much good
 * parts let a cell's number stray, where a lamp's light is a word to the eye. */
double bp_category_probability(const bp_atlas *atlas, const bp_evidence *e, const bp_cell *cell,
                               double sd);
/* Density (of a number) or probability (of a word) when nothing is known: flat over the
 * instrument's range. */
double bp_flat_density(const bp_atlas *atlas, const bp_evidence *e);

/* slips.c: finds p->strayed. False: no memory. */
bool bp_slips_find(bp_posterior *p);
void bp_slips_clear(bp_posterior *p);
/* Log density of number `evidence` if its reading was a slip in this row. */
double bp_slip_log_density(const bp_posterior *p, size_t evidence, size_t row);
/* What most probably went wrong, in words; static. */
const char *bp_slip_words(const bp_posterior *p, size_t evidence, size_t row);

/* Most places that one stretch is looked at. */
enum { BP_MOST_PLACES = 40 };

/* given.c. False: no memory. */
bool bp_given_make(const bp_posterior *p, size_t row, bool away, bp_given *given);
void bp_given_clear(bp_given *given);
/* By number, quantity: moves times the prior's standard deviations, into room for n times as many
 * as there are quantities. They are not kept: few of thousands of rows are asked for them again. */
void bp_given_strays(const bp_posterior *p, const bp_given *given, double *strays);
/* Log probability of what is no number, at a place along the stretch: a word gives way to the
 * other end's somewhere on it, nobody knows where. */
double bp_given_log_worded(const bp_given *given, double place);
/* Probability that such a reading was a slip, there. */
double bp_worded_slip(const bp_worded *worded, double place);
/* The residuals of the numbers at places along the stretch from the row to its next: residual[k *
 * given->n + i] is that of number i at place k. */
void bp_given_residuals(const bp_posterior *p, const bp_given *given, const double *places,
                        size_t n_places, double *residual);

/* hypotheses.c: all hypotheses with their log weights; when `from` is given, only those that are
 * alive there. False: no memory. */
bool bp_hypotheses_make(bp_posterior *p, const bp_posterior *from);

#endif
