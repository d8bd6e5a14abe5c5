/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/curve.h"

#include <assert.h>
#include <math.h>

#include <gsl/gsl_interp.h>

double bp_curve(const double *x, const double *y, size_t n, double at) {
    /* Straight lines need no state, so nothing has to be allocated. */
    gsl_interp line = {.type = gsl_interp_linear, .size = n};
    gsl_interp_init(&line, x, y, n);
    return gsl_interp_eval(&line, x, y, fmin(fmax(at, x[0]), x[n - 1]), NULL);
}

double bp_curve_log(const double *x, const double *y, size_t n, double at) {
    double lx[32], ly[32];
    assert(n >= 2 && n <= sizeof lx / sizeof *lx);
    for (size_t i = 0; i < n; i++) {
        lx[i] = log(x[i]);
        ly[i] = log(y[i]);
    }
    return exp(bp_curve(lx, ly, n, log(at)));
}
