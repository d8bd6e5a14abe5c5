/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/posterior.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/posterior_parts.h"

/* What is left out of the hypotheses that are kept. */
#define FORGOTTEN 1e-6

typedef struct ranked {
    size_t at;
    double log_weight;
} ranked;

static int by_weight(const void *x, const void *y) {
    const ranked *a = x, *b = y;
    return a->log_weight != b->log_weight ? (a->log_weight > b->log_weight ? -1 : 1) : 0;
}

static double log_other(const bp_posterior *p) {
    double sum = log(p->prior->other);
    for (size_t i = 0; i < p->n_evidence; i++)
        sum += log(bp_flat_density(p->atlas, &p->evidence[i]));
    return sum;
}

/* Moves hypothesis `from` to place `to`. */
static void keep(bp_posterior *p, size_t from, size_t to) {
    p->hypothesis[to] = p->hypothesis[from];
    p->log_mass[to] = p->log_mass[from];
    p->given_of[to] = p->given_of[from];
}

/* Probabilities; what has next to none is dropped. */
static bool normalise(bp_posterior *p) {
    const double other = log_other(p);
    ranked *list = malloc((p->n + 1) * sizeof *list);
    bool *alive = calloc(p->n + 1, sizeof *alive);
    if (!list || !alive) {
        free(list);
        free(alive);
        return false;
    }
    p->log_evidence = other;
    for (size_t h = 0; h < p->n; h++) {
        list[h] = (ranked){h, p->log_mass[h] + p->hypothesis[h].fit};
        p->log_evidence = bp_log_add(p->log_evidence, list[h].log_weight);
        p->hypothesis[h].probability = list[h].log_weight;
    }
    qsort(list, p->n, sizeof *list, by_weight);
    double sum = p->other = exp(other - p->log_evidence);
    for (size_t i = 0; i < p->n && sum < 1 - FORGOTTEN; i++) {
        alive[list[i].at] = true;
        sum += exp(list[i].log_weight - p->log_evidence);
    }
    size_t n = 0;
    for (size_t h = 0; h < p->n; h++) {
        if (!alive[h])
            continue;
        keep(p, h, n);
        p->hypothesis[n].probability = exp(p->hypothesis[n].probability - p->log_evidence) / sum;
        n++;
    }
    p->other /= sum;
    p->n = n;
    free(list);
    free(alive);
    return true;
}

static bool add_up(bp_posterior *p) {
    p->fault = calloc(bp_atlas_n_faults(p->atlas) + 1, sizeof *p->fault);
    if (!p->fault)
        return false;
    for (size_t h = 0; h < p->n; h++) {
        const bp_hypothesis *x = &p->hypothesis[h];
        if (x->sort == BP_HYPOTHESIS_HEALTHY)
            p->healthy += x->probability;
        else if (x->sort == BP_HYPOTHESIS_ABSENT)
            p->absent += x->probability;
        else
            p->fault[x->fault] += x->probability;
    }
    return true;
}

/* Which readings were slips, under every hypothesis that is alive. */
static bool find_slips(bp_posterior *p) {
    const size_t n = p->n_evidence;
    double *work = calloc(n * n + 3 * n + 1, sizeof *work);
    double *each = calloc(n + 1, sizeof *each);
    p->slip = calloc(p->n * n + 1, sizeof *p->slip);
    p->residual = calloc(p->n * n + 1, sizeof *p->residual);
    const bool good = work && each && p->slip && p->residual;
    for (size_t h = 0; h < p->n && good; h++) {
        const bp_given *g = &p->given[p->given_of[h]];
        double *residual = &p->residual[h * n];
        bp_given_residuals(p, g, &p->hypothesis[h].between, 1, residual);
        bp_gauss_log_slips(&g->gauss, residual, p->prior->slip, g->log_slip, each, work);
        for (size_t i = 0; i < g->n_worded; i++)
            p->slip[h * n + g->worded[i].reading] =
                bp_worded_slip(&g->worded[i], p->hypothesis[h].between);
        for (size_t i = 0; i < g->n; i++)
            p->slip[h * n + g->reading[i]] = each[i];
    }
    free(work);
    free(each);
    return good;
}

static bp_posterior *make(const bp_atlas *atlas, const bp_prior *prior, const bp_evidence *evidence,
                          size_t n, const bp_evidence *more, const bp_posterior *from) {
    bp_posterior *p = calloc(1, sizeof *p);
    if (!p)
        return NULL;
    p->atlas = atlas;
    p->prior = prior;
    p->evidence = calloc(n + 2, sizeof *p->evidence);
    if (p->evidence && n > 0)
        memcpy(p->evidence, evidence, n * sizeof *evidence);
    p->n_evidence = n;
    if (p->evidence && more)
        p->evidence[p->n_evidence++] = *more;
    if (!p->evidence || !bp_slips_find(p) || !bp_hypotheses_make(p, from) || !normalise(p) ||
        !add_up(p) || !find_slips(p))
        bp_posterior_free(&p);
    return p;
}

bp_posterior *bp_posterior_new(const bp_atlas *atlas, const bp_prior *prior,
                               const bp_evidence *evidence, size_t n) {
    return make(atlas, prior, evidence, n, NULL, NULL);
}

bp_posterior *bp_posterior_with(const bp_posterior *p, const bp_evidence *evidence) {
    return make(p->atlas, p->prior, p->evidence, p->n_evidence, evidence, p);
}

void bp_posterior_free(bp_posterior **posterior) {
    if (!posterior || !*posterior)
        return;
    bp_posterior *p = *posterior;
    for (size_t g = 0; p->given && g < p->n_given; g++)
        bp_given_clear(&p->given[g]);
    free(p->given);
    bp_slips_clear(p);
    free(p->evidence);
    free(p->hypothesis);
    free(p->log_mass);
    free(p->given_of);
    free(p->slip);
    free(p->residual);
    free(p->fault);
    free(p);
    *posterior = NULL;
}

const bp_atlas *bp_posterior_atlas(const bp_posterior *p) { return p->atlas; }
size_t bp_posterior_n_evidence(const bp_posterior *p) { return p->n_evidence; }
const bp_evidence *bp_posterior_evidence(const bp_posterior *p, size_t i) {
    return &p->evidence[i];
}
size_t bp_posterior_n(const bp_posterior *p) { return p->n; }
const bp_hypothesis *bp_posterior_at(const bp_posterior *p, size_t hypothesis) {
    return &p->hypothesis[hypothesis];
}
double bp_posterior_fault(const bp_posterior *p, size_t fault) { return p->fault[fault]; }
double bp_posterior_healthy(const bp_posterior *p) { return p->healthy; }
double bp_posterior_absent(const bp_posterior *p) { return p->absent; }
double bp_posterior_other(const bp_posterior *p) { return p->other; }
double bp_posterior_evidence_log(const bp_posterior *p) { return p->log_evidence; }

typedef struct degree {
    double severity, probability;
} degree;

static int by_degree(const void *x, const void *y) {
    const degree *a = x, *b = y;
    return a->severity != b->severity ? (a->severity < b->severity ? -1 : 1) : 0;
}

double bp_posterior_severity(const bp_posterior *p, size_t fault, double quantile) {
    degree *list = calloc(p->n + 1, sizeof *list);
    size_t n = 0;
    double sum = 0, found = NAN, below = 0;
    for (size_t h = 0; list && h < p->n; h++) {
        const bp_hypothesis *x = &p->hypothesis[h];
        if (x->sort != BP_HYPOTHESIS_FAULT || x->fault != fault || isnan(x->severity))
            continue;
        list[n++] = (degree){x->severity, x->probability};
        sum += x->probability;
    }
    if (n > 0)
        qsort(list, n, sizeof *list, by_degree);
    for (size_t i = 0; i < n && isnan(found); i++) {
        below += list[i].probability;
        if (below >= quantile * sum || i + 1 == n)
            found = list[i].severity;
    }
    free(list);
    return found;
}

double bp_posterior_slip(const bp_posterior *p, size_t i) {
    double sum = 0, all = 0;
    for (size_t h = 0; h < p->n; h++) {
        sum += p->hypothesis[h].probability * p->slip[h * p->n_evidence + i];
        all += p->hypothesis[h].probability;
    }
    return all > 0 ? sum / all : 0;
}

double bp_posterior_slip_under(const bp_posterior *p, size_t hypothesis, size_t i) {
    return p->slip[hypothesis * p->n_evidence + i];
}
