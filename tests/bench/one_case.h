/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One deck, many cases: what does a solve cost, and what does it leave behind in memory?
 */
#ifndef BP_TESTS_BENCH_ONE_CASE_H
#define BP_TESTS_BENCH_ONE_CASE_H

#include <stdbool.h>

#include <backprobe/circuit.h>

/* Solves cases of one state with a fault of growing severity, by editing values in the solver's
 * memory and by starting one `ngspice -b` a case; then 100,000 solves while watching the memory.
 * Runs in a process of its own. False when something failed (said on stderr). `fault` holds one %g
 * for the severity. */
bool bench_one_case(const bp_circuit *circuit, const char *state, const char *fault);

/* One `ngspice -b` with this deck, its standard output into a file; false: it failed. */
bool bench_run_process(const char *deck, const char *output);

#endif
