/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the beginning of a trouble says about its sort.
 */
#ifndef BP_DIAGNOSE_ONSET_H
#define BP_DIAGNOSE_ONSET_H

#include <backprobe/casefile.h>

#include "circuits/kind.h"

/* By how much more often this mode is behind a trouble that began so; 1 when it says nothing. */
double bp_onset_factor(bp_onset onset, const bp_mode_decl *mode);

/* The share of time that a fault of this mode is away by nature, so that a reading may have been
 * taken without it. */
double bp_onset_away(bp_onset onset, const bp_mode_decl *mode);

#endif
