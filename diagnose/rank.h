/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Faults that no reading so far tells apart, as classes.
 */
#ifndef BP_DIAGNOSE_RANK_H
#define BP_DIAGNOSE_RANK_H

#include "diagnose/posterior.h"

/* Class of every fault of the atlas by the readings taken so far: two faults are in one class when,
 * at their best-fitting severities, no reading taken separates them by two standard deviations
 * (single linkage over the faults that are still alive); BP_NONE for those that are not. `class_of`
 * has room for all faults. Returns how many classes there are; they are numbered by their total
 * probability, the most probable first. (size_t)-1: no memory. */
size_t bp_rank_classes(const bp_posterior *p, size_t *class_of);

/* The same over given tests instead of the readings taken: which faults could never be told apart
 * by them. */
size_t bp_rank_classes_by(const bp_posterior *p, const size_t *tests, size_t n, size_t *class_of);

#endif
