/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Runs over time: what does an ignition cycle cost, and all faults of its circuit?
 */
#ifndef BP_TESTS_BENCH_ONE_RUN_H
#define BP_TESTS_BENCH_ONE_RUN_H

#include <stdbool.h>

#include <backprobe/report.h>

/* An ignition cycle in this process, then the same transient by one `ngspice -b` a case (with the
 * plug off, so that nothing fires and the driver's switching is all that has to be told); then
 * every fault of the circuit over the workers. False when something failed. */
bool bench_runs(bp_report *report);

#endif
