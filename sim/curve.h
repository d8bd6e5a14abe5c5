/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Published tables read between their rows.
 */
#ifndef BP_SIM_CURVE_H
#define BP_SIM_CURVE_H

#include <stddef.h>

/* y at `at`, straight between the n >= 2 points whose x rise strictly; beyond the ends the end's y.
 */
double bp_curve(const double *x, const double *y, size_t n, double at);

/* The same, straight on paper with logarithmic scales on both axes; every x, y and `at` > 0, n
 * <= 32. */
double bp_curve_log(const double *x, const double *y, size_t n, double at);

#endif
