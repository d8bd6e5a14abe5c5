/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/spline.h"

#include <stdbool.h>
#include <string.h>

static bool is_level(const bp_spline *s) {
    for (size_t i = 1; i < s->n; i++)
        if (s->y[i] != s->y[0])
            return false;
    return true;
}

/* The bends follow from a tridiagonal system, since slopes meet at every inner knot (Press and
 * others, Numerical Recipes, section 3.3; from memory). It is solved by elimination from the first
 * to the last and back. */
void bp_spline_lay(bp_spline *s) {
    double part[BP_SPLINE_MOST] = {0};
    memset(s->bend, 0, sizeof s->bend);
    if (s->n < 3 || is_level(s))
        return;
    for (size_t i = 1; i + 1 < s->n; i++) {
        const double low = s->x[i] - s->x[i - 1], high = s->x[i + 1] - s->x[i];
        const double turn = (s->y[i + 1] - s->y[i]) / high - (s->y[i] - s->y[i - 1]) / low;
        const double own = 2 * (low + high) - low * part[i - 1];
        part[i] = high / own;
        s->bend[i] = (6 * turn - low * s->bend[i - 1]) / own;
    }
    for (size_t i = s->n - 2; i > 0; i--)
        s->bend[i] -= part[i] * s->bend[i + 1];
}

double bp_spline_at(const bp_spline *s, size_t piece, double x) {
    const double h = s->x[piece + 1] - s->x[piece];
    const double a = (s->x[piece + 1] - x) / h, b = 1 - a;
    return a * s->y[piece] + b * s->y[piece + 1] +
           ((a * a * a - a) * s->bend[piece] + (b * b * b - b) * s->bend[piece + 1]) * h * h / 6;
}
