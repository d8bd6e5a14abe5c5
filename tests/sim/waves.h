/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Runs over time for tests. Whatever goes wrong fails the running test with the program's own
 * words.
 */
#ifndef BP_TESTS_SIM_WAVES_H
#define BP_TESTS_SIM_WAVES_H

#include <backprobe/scope.h>

#include "tests/sim/desk.h"

/* One run; traces are given as words: "C.1", "C.1 C.2" (red and black), "clamp W1"; NULL ends them.
 * fineness 1, or 2 for steps half as long. */
bp_scope_run *waves_run(desk *d, const char *state, const char *faults, double from, double to,
                        double fineness, const char *const *traces);

/* The same where no result is expected: a copy of why, which the caller frees. */
char *waves_why(desk *d, const char *state, const char *faults, double to,
                const char *const *traces);

/* The value of a feature, or NAN when the run has none of that id (trace BP_SCOPE_NO_TRACE: any).
 */
double waves_feature(const bp_scope_run *run, size_t trace, const char *id);

/* What people noticed of a part: one of its kind's ids, or "". */
const char *waves_says(const bp_scope_run *run, const char *part);

/* Integrals over the whole window by trapezoids: of a trace, and of the product of two. */
double waves_integral(const bp_scope_run *run, size_t trace);
double waves_product(const bp_scope_run *run, size_t a, size_t b);

#endif
