/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/prior.h"

void bp_prior_dirichlet(double strength, const double *proved, size_t n, double *weight) {
    double sum = 0, repairs = 0;
    for (size_t i = 0; i < n; i++) {
        sum += weight[i];
        repairs += proved[i];
    }
    if (!(sum > 0) || !(strength + repairs > 0))
        return;
    for (size_t i = 0; i < n; i++)
        weight[i] = (strength * weight[i] / sum + proved[i]) / (strength + repairs) * sum;
}
