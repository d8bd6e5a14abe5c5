/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/puzzle.h"

#include <math.h>
#include <stdlib.h>

/* Shannon: x log2 x, 0 at 0. */
static double x_log_x(double x) { return x > 0 ? x * log2(x) : 0; }

double bp_entropy(const double *weight, size_t n) {
    double sum = 0, parts = 0;
    for (size_t i = 0; i < n; i++) {
        sum += weight[i];
        parts += x_log_x(weight[i]);
    }
    return sum > 0 ? fmax(log2(sum) - parts / sum, 0) : 0;
}

static double *class_weights(const bp_puzzle *z, const double *weight) {
    double *sum = calloc(z->n_classes + 1, sizeof *sum);
    for (size_t i = 0; sum && i < z->n_cases; i++)
        sum[z->class_of[i]] += weight[i];
    return sum;
}

double bp_puzzle_entropy(const bp_puzzle *z, const double *weight) {
    double *sum = class_weights(z, weight);
    const double bits = sum ? bp_entropy(sum, z->n_classes) : NAN;
    free(sum);
    return bits;
}

double bp_puzzle_lead(const bp_puzzle *z, const double *weight) {
    double *sum = class_weights(z, weight);
    double most = sum ? 0 : NAN, all = 0;
    for (size_t i = 0; sum && i < z->n_classes; i++) {
        most = fmax(most, sum[i]);
        all += sum[i];
    }
    free(sum);
    return all > 0 ? most / all : most;
}

/* joint[class * n_outcomes + outcome] */
static double *joint_of(const bp_puzzle *z, const bp_puzzle_test *t, const double *weight) {
    double *joint = calloc(z->n_classes * t->n_outcomes + 1, sizeof *joint);
    for (size_t i = 0; joint && i < z->n_cases; i++) {
        if (!(weight[i] > 0))
            continue;
        double *row = &joint[z->class_of[i] * t->n_outcomes];
        const float *p = &t->p[i * t->n_outcomes];
        for (size_t o = 0; o < t->n_outcomes; o++)
            row[o] += weight[i] * (double)p[o];
    }
    return joint;
}

double bp_puzzle_gain(const bp_puzzle *z, const bp_puzzle_test *t, const double *weight) {
    double *joint = joint_of(z, t, weight), *sum = class_weights(z, weight);
    double *outcome = calloc(t->n_outcomes + 1, sizeof *outcome);
    double bits = NAN;
    if (joint && sum && outcome) {
        for (size_t c = 0; c < z->n_classes; c++)
            for (size_t o = 0; o < t->n_outcomes; o++)
                outcome[o] += joint[c * t->n_outcomes + o];
        bits = bp_entropy(sum, z->n_classes) + bp_entropy(outcome, t->n_outcomes) -
               bp_entropy(joint, z->n_classes * t->n_outcomes);
        bits = fmax(bits, 0);
    }
    free(joint);
    free(sum);
    free(outcome);
    return bits;
}

double bp_puzzle_after(const bp_puzzle *z, const bp_puzzle_test *t, const double *weight,
                       size_t outcome, double *after) {
    double sum = 0, all = 0;
    for (size_t i = 0; i < z->n_cases; i++) {
        const double w = weight[i] * (double)t->p[i * t->n_outcomes + outcome];
        sum += w;
        all += weight[i];
        if (after)
            after[i] = w;
    }
    for (size_t i = 0; after && sum > 0 && i < z->n_cases; i++)
        after[i] /= sum;
    return all > 0 ? sum / all : 0;
}
