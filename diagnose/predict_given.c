/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A further test in the light of the readings taken: the tolerances that it shares with them are
 * known better by now.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/posterior_parts.h"
#include "sim/instrument.h"

struct bp_outlook {
    const bp_posterior *p;
    const bp_hypothesis *h;
    const bp_given *given;
    size_t row;      /* whose words and moves a test has */
    double *inverse; /* of the covariance of the readings that count; 0 for the others */
    double *learnt;  /* by quantity: what the readings say of it, per prior standard deviation */
    double *strays;  /* of the readings, by number, quantity */
    double *moves, *shared;
};

bp_outlook *bp_outlook_new(const bp_posterior *p) {
    const size_t n = p->n_evidence, width = p->prior->n_spreads;
    bp_outlook *v = calloc(1, sizeof *v);
    if (!v)
        return NULL;
    *v = (bp_outlook){.p = p,
                      .inverse = calloc(n * n + 1, sizeof *v->inverse),
                      .learnt = calloc(width + 1, sizeof *v->learnt),
                      .strays = calloc(n * width + 1, sizeof *v->strays),
                      .moves = calloc(width + 1, sizeof *v->moves),
                      .shared = calloc(n + 1, sizeof *v->shared)};
    if (!v->inverse || !v->learnt || !v->strays || !v->moves || !v->shared)
        bp_outlook_free(&v);
    return v;
}

void bp_outlook_free(bp_outlook **outlook) {
    bp_outlook *v = *outlook;
    if (!v)
        return;
    free(v->inverse);
    free(v->learnt);
    free(v->strays);
    free(v->moves);
    free(v->shared);
    free(v);
    *outlook = NULL;
}

/* A reading that is most likely a slip tells nothing of the tolerances. */
static bool counts(const bp_outlook *v, size_t hypothesis, size_t i) {
    return v->p->slip[hypothesis * v->p->n_evidence + v->given->reading[i]] < 0.5;
}

/* The inverse for the readings that count follows from that for all, taking out one by one. */
static void take_out_slips(bp_outlook *v, size_t hypothesis) {
    const size_t n = v->given->n;
    double *inverse = v->inverse;
    memcpy(inverse, v->given->gauss.inverse, n * n * sizeof *inverse);
    for (size_t k = 0; k < n; k++) {
        if (counts(v, hypothesis, k))
            continue;
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < n; j++)
                if (i != k && j != k)
                    inverse[i * n + j] -=
                        inverse[i * n + k] * inverse[k * n + j] / inverse[k * n + k];
        /* The others have nothing to do with it any more; its own is not used again. */
        for (size_t i = 0; i < n; i++)
            inverse[i * n + k] = inverse[k * n + i] = i == k ? 1 : 0;
    }
    for (size_t k = 0; k < n; k++)
        if (!counts(v, hypothesis, k))
            inverse[k * n + k] = 0;
}

void bp_outlook_take(bp_outlook *v, size_t hypothesis) {
    const bp_posterior *p = v->p;
    const size_t width = p->prior->n_spreads;
    v->h = &p->hypothesis[hypothesis];
    v->given = &p->given[p->given_of[hypothesis]];
    /* A test made now is made while the trouble is as it is: what was away may still be. */
    v->row = v->h->sort == BP_HYPOTHESIS_ABSENT ? 0 : v->h->between > 0.5 ? v->h->next : v->h->row;
    take_out_slips(v, hypothesis);
    bp_given_strays(p, v->given, v->strays);
    memset(v->learnt, 0, width * sizeof *v->learnt);
    for (size_t i = 0; i < v->given->n; i++) {
        double weight = 0;
        for (size_t j = 0; j < v->given->n; j++)
            weight += v->inverse[i * v->given->n + j] * p->residual[hypothesis * p->n_evidence + j];
        for (size_t q = 0; weight != 0 && q < width; q++)
            v->learnt[q] += weight * v->strays[i * width + q];
    }
}

/* Adds to the mean what the readings say of the tolerances; returns the variance that the
 * tolerances leave. */
static double of_tolerances(const bp_outlook *v, size_t test, double *mean, double *alone) {
    const bp_prior *prior = v->p->prior;
    const size_t width = prior->n_spreads, n = v->given->n;
    double variance = 0;
    bp_atlas_moves(v->p->atlas, v->row, test, v->moves, alone);
    for (size_t q = 0; q < width; q++) {
        *mean += v->moves[q] * prior->mean[q];
        v->moves[q] *= prior->sd[q];
        *mean += v->moves[q] * v->learnt[q];
        variance += v->moves[q] * v->moves[q];
    }
    for (size_t i = 0; i < n; i++) {
        v->shared[i] = 0;
        for (size_t q = 0; q < width; q++)
            v->shared[i] += v->strays[i * width + q] * v->moves[q];
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            variance -= v->shared[i] * v->inverse[i * n + j] * v->shared[j];
    return fmax(variance, 0);
}

bp_predicted bp_outlook_predict(const bp_outlook *v, size_t test) {
    const bp_atlas *atlas = v->p->atlas;
    const bp_cell cell = bp_atlas_cell(atlas, v->row, test);
    bp_predicted out = {.sort = cell.sort, .mean = cell.value, .sd = 0, .says = cell.says};
    if (cell.sort != BP_CELL_VALUE)
        return out;
    if (v->row != 0 && v->h->between > 0)
        bp_atlas_along(atlas, v->h->row, test, &v->h->between, 1, &out.mean);
    double alone = 0;
    const double variance = of_tolerances(v, test, &out.mean, &alone);
    const bp_test *t = bp_atlas_test(atlas, test);
    const double meter = bp_atlas_meter_sd(t, out.mean);
    /* What stands on the display is one of its counts. */
    double (*count)(double value) = bp_instruments[t->instrument]->count;
    const double digit = count ? count(out.mean) / sqrt(12) : 0;
    out.sd = sqrt(variance + alone * alone + meter * meter + digit * digit);
    return out;
}
