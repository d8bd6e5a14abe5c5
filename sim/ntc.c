/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/ntc.h"

#include <math.h>

static const double zero_celsius = 273.15;

/* Divided differences of 1/T over ln R; of (ln R)^3 they are a sum of products. */
bp_ntc bp_ntc_fit(const double celsius[3], const double ohm[3]) {
    double l[3], y[3];
    for (int i = 0; i < 3; i++) {
        l[i] = log(ohm[i]);
        y[i] = 1 / (celsius[i] + zero_celsius);
    }
    double near = (y[1] - y[0]) / (l[1] - l[0]), far = (y[2] - y[0]) / (l[2] - l[0]);
    bp_ntc ntc;
    ntc.c = (far - near) / (l[2] - l[1]) / (l[0] + l[1] + l[2]);
    ntc.b = near - ntc.c * (l[0] * l[0] + l[0] * l[1] + l[1] * l[1]);
    ntc.a = y[0] - (ntc.b + l[0] * l[0] * ntc.c) * l[0];
    return ntc;
}

/* Cardano's root of the cubic in ln R: with c > 0 and b > 0 it has one. */
double bp_ntc_ohm(const bp_ntc *ntc, double celsius) {
    double x = (ntc->a - 1 / (celsius + zero_celsius)) / ntc->c;
    double y = sqrt(pow(ntc->b / (3 * ntc->c), 3) + x * x / 4);
    return exp(cbrt(y - x / 2) - cbrt(y + x / 2));
}
