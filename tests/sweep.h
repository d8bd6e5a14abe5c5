/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How much of the library a test goes through that solves or draws all of it. Under the sanitizers,
 * which make all several times slower, a sample is enough: they look for mistakes of memory, and
 * the release build's run looks for wrong results everywhere.
 */
#ifndef BP_TESTS_SWEEP_H
#define BP_TESTS_SWEEP_H

#if defined(__SANITIZE_ADDRESS__)
/* Every third circuit, and of what it has every seventh. */
enum { SWEEP_CIRCUITS = 3, SWEEP_STEP = 7 };
#else
enum { SWEEP_CIRCUITS = 1, SWEEP_STEP = 1 };
#endif

#endif
