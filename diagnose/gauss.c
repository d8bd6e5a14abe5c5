/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/gauss.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_matrix.h>

#define LOG_2PI 1.83787706640934548356

bool bp_gauss_make(bp_gauss *g, size_t n, const double *covariance) {
    *g = (bp_gauss){.n = n, .inverse = malloc((n * n + 1) * sizeof *g->inverse)};
    if (!g->inverse || n == 0)
        return g->inverse != NULL;
    memcpy(g->inverse, covariance, n * n * sizeof *covariance);
    gsl_matrix_view m = gsl_matrix_view_array(g->inverse, n, n);
    gsl_error_handler_t *before = gsl_set_error_handler_off();
    bool good = gsl_linalg_cholesky_decomp1(&m.matrix) == GSL_SUCCESS;
    for (size_t i = 0; i < n && good; i++)
        g->log_det += 2 * log(gsl_matrix_get(&m.matrix, i, i));
    good = good && gsl_linalg_cholesky_invert(&m.matrix) == GSL_SUCCESS && isfinite(g->log_det);
    gsl_set_error_handler(before);
    if (!good)
        bp_gauss_clear(g);
    return good;
}

void bp_gauss_clear(bp_gauss *g) {
    free(g->inverse);
    *g = (bp_gauss){0};
}

double bp_log_add(double a, double b) {
    if (a < b) {
        const double c = a;
        a = b;
        b = c;
    }
    return b == -INFINITY ? a : a + log1p(exp(b - a));
}

/* inverse * residual into alpha; returns residual' inverse residual. */
static double weigh(const bp_gauss *g, const double *residual, double *alpha) {
    double sum = 0;
    for (size_t i = 0; i < g->n; i++) {
        alpha[i] = 0;
        for (size_t j = 0; j < g->n; j++)
            alpha[i] += g->inverse[i * g->n + j] * residual[j];
        sum += alpha[i] * residual[i];
    }
    return sum;
}

static double log_density(const bp_gauss *g, double square) {
    return -0.5 * (square + g->log_det + (double)g->n * LOG_2PI);
}

double bp_gauss_log(const bp_gauss *g, const double *residual) {
    double square = 0;
    for (size_t i = 0; i < g->n; i++)
        for (size_t j = 0; j < g->n; j++)
            square += residual[i] * g->inverse[i * g->n + j] * residual[j];
    return log_density(g, square);
}

/* What is to be taken from the log density of all readings to get that of the others: the log
 * density of reading i, or of i and j, given the others. */
static double log_given_one(const double *inverse, const double *alpha, size_t n, size_t i) {
    const double k = inverse[i * n + i];
    return -0.5 * (alpha[i] * alpha[i] / k - log(k) + LOG_2PI);
}

static double log_given_two(const double *inverse, const double *alpha, size_t n, size_t i,
                            size_t j) {
    const double a = inverse[i * n + i], b = inverse[j * n + j], c = inverse[i * n + j];
    const double det = a * b - c * c;
    const double square =
        (b * alpha[i] * alpha[i] - 2 * c * alpha[i] * alpha[j] + a * alpha[j] * alpha[j]) / det;
    return -0.5 * (square - log(det) + 2 * LOG_2PI);
}

typedef struct sum {
    double log;
    double *each; /* log of the terms in which a reading is a slip; NULL */
} sum;

static void add_term(sum *s, double term, const size_t *slips, size_t n) {
    s->log = bp_log_add(s->log, term);
    for (size_t i = 0; s->each && i < n; i++)
        s->each[slips[i]] = bp_log_add(s->each[slips[i]], term);
}

/* Sets of three slips and more: the reading that fits worst is taken out, one after the other. */
static void add_worst(sum *s, const bp_gauss *g, double all, double slip, const double *log_slip,
                      double *work) {
    const size_t n = g->n, most = n / 2;
    double *inverse = work, *alpha = work + n * n;
    size_t out[64], n_out = 0;
    bool gone[64] = {false};
    memcpy(inverse, g->inverse, n * n * sizeof *inverse);
    double log_left = all, term = (double)n * log1p(-slip);
    while (n_out < most && n_out < 64 && n <= 64) {
        size_t worst = n;
        for (size_t i = 0; i < n; i++)
            if (!gone[i] &&
                (worst == n || alpha[i] * alpha[i] / inverse[i * n + i] >
                                   alpha[worst] * alpha[worst] / inverse[worst * n + worst]))
                worst = i;
        log_left -= log_given_one(inverse, alpha, n, worst);
        term += log(slip) - log1p(-slip) + log_slip[worst];
        const double k = inverse[worst * n + worst], a = alpha[worst];
        for (size_t i = 0; i < n; i++)
            alpha[i] -= inverse[i * n + worst] * a / k;
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < n && i != worst; j++)
                if (j != worst)
                    inverse[i * n + j] -= inverse[i * n + worst] * inverse[worst * n + j] / k;
        gone[worst] = true;
        out[n_out++] = worst;
        if (n_out > 2)
            add_term(s, log_left + term, out, n_out);
    }
}

double bp_gauss_log_slips(const bp_gauss *g, const double *residual, double slip,
                          const double *log_slip, double *each, double *work) {
    const size_t n = g->n;
    double *alpha = work + n * n;
    const double all = log_density(g, weigh(g, residual, alpha));
    const double kept = (double)n * log1p(-slip), lost = log(slip) - log1p(-slip);
    sum s = {all + kept, each};
    for (size_t i = 0; i < n && each; i++)
        each[i] = -INFINITY;
    for (size_t i = 0; i < n && slip > 0; i++) {
        const double one = all + kept - log_given_one(g->inverse, alpha, n, i) + lost + log_slip[i];
        add_term(&s, one, &i, 1);
        for (size_t j = 0; j < i; j++) {
            const size_t both[2] = {i, j};
            const double two = all + kept - log_given_two(g->inverse, alpha, n, i, j) + 2 * lost +
                               log_slip[i] + log_slip[j];
            add_term(&s, two, both, 2);
        }
    }
    if (n > 5 && slip > 0)
        add_worst(&s, g, all, slip, log_slip, work);
    for (size_t i = 0; i < n && each; i++)
        each[i] = exp(each[i] - s.log);
    return s.log;
}
