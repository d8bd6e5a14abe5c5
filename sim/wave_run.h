/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A run over time in a worker; what it does is told in sim/wave.h.
 */
#ifndef BP_SIM_WAVE_RUN_H
#define BP_SIM_WAVE_RUN_H

#include "sim/bench.h"
#include "sim/wave_result.h"

/* The plan of the deck in time that a task asks for: its probes, and the wires that it needs as
 * elements. Clear with bp_plan_clear. False: no memory. */
bool bp_wave_plan(const bp_task *task, const bp_circuit *circuit, bp_plan *plan);

/* A whole task. The result is filled in whatever happens; clear it with bp_wave_result_clear. */
void bp_run_wave(bp_bench *bench, const bp_task *task, bp_wave_result *result);

#endif
