/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The natural cubic spline through a handful of knots, without memory of its own: it is laid
 * hundreds of thousands of times.
 */
#ifndef BP_DIAGNOSE_SPLINE_H
#define BP_DIAGNOSE_SPLINE_H

#include <stddef.h>

enum { BP_SPLINE_MOST = 8 };

typedef struct bp_spline {
    double x[BP_SPLINE_MOST], y[BP_SPLINE_MOST]; /* knots, x rising */
    double bend[BP_SPLINE_MOST];                 /* second derivative there */
    size_t n;                                    /* at least 2 */
} bp_spline;

/* Finds the bends; with two knots, or all at one height, it is a straight line. */
void bp_spline_lay(bp_spline *spline);
/* Between the knots `piece` and `piece` + 1. */
double bp_spline_at(const bp_spline *spline, size_t piece, double x);

#endif
