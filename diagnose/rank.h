/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Faults that no reading so far tells apart, as classes.
 */
#ifndef BP_DIAGNOSE_RANK_H
#define BP_DIAGNOSE_RANK_H

#include "diagnose/posterior.h"

/* The hypothesis under which the readings are most probable for a fault; BP_NONE when none is
 * alive. */
size_t bp_rank_best(const bp_posterior *p, size_t fault);

/* Class of every fault of the atlas by the readings taken so far; BP_NONE for those that are not
 * alive. Each class has a leader, the most probable fault that no class before it took in; another
 * fault joins when, both at their best-fitting severities, no reading taken is predicted more than
 * two standard deviations apart and the readings as a whole are as probable under both. `class_of`
 * has room for all faults. Returns how many classes there are, numbered by their total probability,
 * the most probable first; (size_t)-1: no memory. */
size_t bp_rank_classes(const bp_posterior *p, size_t *class_of);

/* The same over given tests instead of the readings taken: which faults could not be told apart by
 * them, at the severities that fit the readings best. Their cells must be there. */
size_t bp_rank_classes_by(const bp_posterior *p, const size_t *tests, size_t n, size_t *class_of);

#endif
