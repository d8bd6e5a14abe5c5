/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Hidden faults, and what it takes to find them.
 */
#ifndef BP_BENCH_TRIAL_H
#define BP_BENCH_TRIAL_H

#include <gsl/gsl_rng.h>

#include "diagnose/cost.h"
#include "diagnose/forecast.h"

/* How the next test is chosen. */
typedef enum way { WAY_OURS, WAY_HALVING, WAY_RANDOM, N_WAYS } way;

/* A circuit with all that its trials share. */
typedef struct court {
    bp_atlas *atlas;
    bp_prior prior;
    size_t *test, n_tests; /* every candidate */
    size_t supply;         /* of the atlas; made first in each trial; BP_NONE */
    size_t *class_of;      /* by fault, fixed beforehand */
    size_t n_classes;      /* healthy is the last but one, anything else the last */
    size_t largest;        /* faults that can be drawn in the largest class */
    double entropy;        /* of the classes, bits */
    bp_answer *good;       /* what all parts of the good circuit do */
    bool print_misses;
} court;

/* The vehicle on trial. */
typedef struct suspect {
    size_t fault; /* BP_NONE: healthy */
    double severity;
    uint64_t draw;
    size_t class;
} suspect;

typedef struct verdict {
    bool right;       /* the true class came first */
    double certainty; /* of the class that came first */
    size_t tests;
    double minutes;
} verdict;

/* By tenths of probability: how many classes were given so much, how much exactly in sum, and how
 * many of them were the true one. */
typedef struct calibration {
    size_t n[10], right[10];
    double sum[10];
} calibration;

/* alike.c: joins in class_of (by fault) what no test ever parts. False: no memory. */
bool court_link(const court *court, size_t *class_of);

bool court_open(court *court, const bp_circuit *circuit, bp_report *report);
void court_close(court *court);

suspect draw_hidden(const court *court, gsl_rng *rng, bp_report *report);
/* The hidden fault as text. */
void hidden_text(const court *court, const suspect *hidden, char *text, size_t size);

/* complaint.c: fills in court->good. False: no solution, see the report. */
bool court_hears(court *court, bp_report *report);
/* Does any part of this very vehicle, fault and parts as they were drawn, do otherwise than in a
 * good circuit? */
bool is_complained_of(const court *court, const suspect *hidden, bp_report *report);
/* False: it could not be carried through, see the report. */
bool try_it(court *court, const suspect *hidden, way how, gsl_rng *rng, verdict *verdict,
            bp_report *report);
/* Some readings at random instead of chosen ones, and what the classes are given after them. */
bool sample_it(court *court, const suspect *hidden, gsl_rng *rng, calibration *calibration,
               bp_report *report);

/* miss.c: what went on in a trial that ended with the wrong class first; share by class. */
void print_miss(const court *court, const suspect *hidden, const bp_posterior *posterior,
                const double *share);

/* exact.c: minutes on average on the likeliest classes alone, each with one plain outcome a test:
 * the exact optimum, and our own choice. False: no memory or too many situations. */
bool compare_with_optimum(const court *court, size_t n_classes, double *optimum, double *ours,
                          size_t *n_tests);

#endif
