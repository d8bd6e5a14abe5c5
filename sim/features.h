/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is measured on traces and taken from what happened in a run over time.
 */
#ifndef BP_SIM_FEATURES_H
#define BP_SIM_FEATURES_H

#include <backprobe/scope.h>

#include "sim/store.h"
#include "sim/wave_result.h"

/* Fills in run->features from its traces and from the events of the result. */
void bp_make_features(bp_store *store, const bp_circuit *circuit, const bp_wave_result *result,
                      bp_scope_run *run);

#endif
