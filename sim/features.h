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

/* The mean of what stands between the samples, straight from one to the next; n at least 2. */
double bp_mean_of(const double *time, const double *value, size_t n);

/* What repeats in a trace: false where less than two whole periods are in it. */
bool bp_rhythm_of(const double *time, const double *value, size_t n, double *hertz, double *duty);

#endif
