/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings as one Gaussian, some of which may be slips.
 */
#ifndef BP_DIAGNOSE_GAUSS_H
#define BP_DIAGNOSE_GAUSS_H

#include <stdbool.h>
#include <stddef.h>

typedef struct bp_gauss {
    size_t n;
    double *inverse; /* of the covariance, n by n; owned */
    double log_det;  /* of the covariance */
} bp_gauss;

/* covariance: n by n, positive definite. False: it is not, or no memory. */
bool bp_gauss_make(bp_gauss *gauss, size_t n, const double *covariance);
void bp_gauss_clear(bp_gauss *gauss);

/* Log density of a residual (reading less mean). */
double bp_gauss_log(const bp_gauss *gauss, const double *residual);

/* The same when each reading is a slip with probability `slip`, independently, and then has density
 * exp(log_slip[i]) instead of its share in the Gaussian: exact over no, one and two slips, and over
 * the likeliest sets of more. each (or NULL): by reading, the probability that it was a slip. work:
 * room for n * n + 3 * n numbers. */
double bp_gauss_log_slips(const bp_gauss *gauss, const double *residual, double slip,
                          const double *log_slip, double *each, double *work);

/* log(exp(a) + exp(b)) without overflow; -INFINITY is log 0. */
double bp_log_add(double a, double b);

#endif
