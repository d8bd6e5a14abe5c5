/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The least minutes in which a puzzle can be solved, exactly: dynamic programming over what is
 * still possible and what was made. For puzzles in which every case shows one outcome for certain.
 */
#ifndef BP_TESTS_OPTIMUM_H
#define BP_TESTS_OPTIMUM_H

#include "diagnose/puzzle.h"

/* Average minutes of the best of all ways to ask; at most 20 cases. NAN: more of them, no memory,
 * or more than `most` situations to look at. */
double optimum_minutes(const bp_puzzle *puzzle, const double *weight, size_t most);

#endif
