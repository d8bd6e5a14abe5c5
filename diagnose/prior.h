/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is thought before anything was measured.
 */
#ifndef BP_DIAGNOSE_PRIOR_H
#define BP_DIAGNOSE_PRIOR_H

#include <backprobe/casefile.h>

#include "diagnose/atlas.h"

typedef struct bp_prior {
    double *fault; /* by fault of the atlas: probability of it at a degree that somebody notices: it
                      is behind the complaint; owned */
    double *unseen; /* by fault: probability of it at a degree that nobody notices: the complaint
                       then has its cause elsewhere; owned */
    size_t n_faults;
    double healthy; /* this circuit is good, the complaint's cause is elsewhere */
    bp_onset onset; /* decides how much of a fault's prior goes to: it was away when measured */
    double other;   /* something not in the list */
    double slip;    /* probability that one reading is a slip */
    double
        *mean;  /* by toleranced quantity, in standard deviations from what the file says; owned */
    double *sd; /* by toleranced quantity, in its standard deviations: 1, and more for what the
                   file cannot know (the battery's charge); owned */
    size_t n_spreads;
} bp_prior;

/* Weights that the book of proved repairs gives the faults, in place; data is the book. Called by
 * bp_prior_make after the file's own weights were put into `weight`. */
typedef bp_status (*bp_weigh)(void *data, const bp_circuit *circuit,
                              const bp_fault_row *const *faults, size_t n, double *weight,
                              bp_report *report);

/* The Dirichlet estimate behind it: weights w with `strength` repairs' worth of trust, and n proved
 * repairs of each: w' = (strength * w / sum(w) + n) / (strength + sum(n)) * sum(w). */
void bp_prior_dirichlet(double strength, const double *proved, size_t n, double *weight);

/* file NULL: nothing is known of onset, replaced parts, who measures (self). weigh NULL: no book.
 */
bp_status bp_prior_make(const bp_atlas *atlas, const bp_casefile *file, bp_weigh weigh, void *data,
                        bp_prior *prior, bp_report *report);
void bp_prior_clear(bp_prior *prior);

#endif
