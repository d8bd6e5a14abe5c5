/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Against the exact optimum, where it can be had: the likeliest classes alone, each standing at its
 * most probable degree, every test with the outcome that is plain there, real minutes.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "tests/bench/judge/trial.h"
#include "tests/diagnose/optimum.h"

enum { MOST_CLASSES = 12, MOST_TESTS = 14, MOST_SITUATIONS = 100000, DEEPEST = 24 };

typedef struct plain {
    const court *k;
    bp_forecast *f;
    bp_puzzle z;
    bp_bench_top *top;
    size_t chosen[MOST_CLASSES], class_of[MOST_CLASSES];
    double weight[MOST_CLASSES];
    bp_puzzle_test test[MOST_TESTS];
    size_t at[MOST_TESTS];
} plain;

static double minutes(void *data, const size_t *made, size_t n_made, size_t test) {
    plain *p = data;
    bp_bench_top_reset(p->top);
    for (size_t i = 0; i < n_made; i++)
        bp_bench_top_made(p->top, bp_atlas_test(p->k->atlas, p->at[made[i]]));
    return bp_test_minutes(p->top, bp_atlas_test(p->k->atlas, p->at[test]));
}

/* The heaviest case of each of the n heaviest classes. */
static void choose_cases(plain *p, size_t n) {
    const bp_forecast *f = p->f;
    bool *taken = calloc(f->n_classes + 1, sizeof *taken);
    double sum = 0;
    for (; taken && p->z.n_cases < n; p->z.n_cases++) {
        size_t best = BP_NONE;
        for (size_t i = 0; i < f->n_cases; i++)
            if (f->fault[i] != BP_NONE && !taken[f->class_of[i]] &&
                (best == BP_NONE || f->weight[i] > f->weight[best]))
                best = i;
        if (best == BP_NONE)
            break;
        taken[f->class_of[best]] = true;
        p->chosen[p->z.n_cases] = best;
        p->class_of[p->z.n_cases] = p->z.n_cases;
        p->weight[p->z.n_cases] = f->weight[best];
        sum += f->weight[best];
    }
    for (size_t i = 0; i < p->z.n_cases; i++)
        p->weight[i] /= sum;
    free(taken);
}

/* Which of the chosen cases look alike on a test: the outcome of each is the first like it. */
static bool plain_outcomes(const plain *p, size_t test, size_t *outcome) {
    bool parts = false;
    for (size_t i = 0; i < p->z.n_cases; i++) {
        const bp_shown *a = &p->f->shown[test * p->f->n_cases + p->chosen[i]];
        outcome[i] = i;
        for (size_t j = 0; j < i && outcome[i] == i; j++) {
            const bp_shown *b = &p->f->shown[test * p->f->n_cases + p->chosen[j]];
            const bool alike = a->sort == b->sort &&
                               (a->sort == BP_CELL_VALUE
                                    ? fabsf(a->mean - b->mean) < 5 * fmaxf(a->sd, b->sd)
                                    : a->sort != BP_CELL_SAYS || strcmp(a->word, b->word) == 0);
            if (alike)
                outcome[i] = outcome[j];
        }
        parts = parts || outcome[i] != 0;
    }
    return parts;
}

/* Of tests that part the cases alike, the one that is cheaper to begin with. */
static bool add_test(plain *p, size_t test) {
    size_t outcome[MOST_CLASSES];
    const size_t n = p->z.n_cases;
    if (!plain_outcomes(p, test, outcome))
        return true;
    bp_puzzle_test t = {n, n, calloc(n * n, sizeof(float))};
    for (size_t i = 0; t.p && i < n; i++)
        t.p[i * n + outcome[i]] = 1;
    for (size_t k = 0; t.p && k < p->z.n_tests; k++)
        if (memcmp(t.p, p->test[k].p, n * n * sizeof(float)) == 0) {
            bp_bench_top_reset(p->top);
            const bp_atlas *a = p->k->atlas;
            if (bp_test_minutes(p->top, bp_atlas_test(a, p->f->test[test])) <
                bp_test_minutes(p->top, bp_atlas_test(a, p->at[k])))
                p->at[k] = p->f->test[test];
            free(t.p);
            return true;
        }
    if (!t.p || p->z.n_tests == MOST_TESTS) {
        free(t.p);
        return t.p != NULL;
    }
    p->at[p->z.n_tests] = p->f->test[test];
    p->test[p->z.n_tests++] = t;
    return true;
}

static double follow(const bp_puzzle *z, const double *weight, size_t *made, size_t n) {
    const size_t t = bp_puzzle_best(z, weight, made, n, NULL);
    double after[MOST_CLASSES];
    if (t == BP_PUZZLE_NONE || n == DEEPEST)
        return 0;
    double sum = z->minutes(z->data, made, n, t);
    for (size_t o = 0; o < z->test[t].n_outcomes; o++) {
        made[n] = t;
        const double p = bp_puzzle_after(z, &z->test[t], weight, o, after);
        if (p > 0)
            sum += p * follow(z, after, made, n + 1);
    }
    return sum;
}

bool compare_with_optimum(const court *k, size_t n_classes, double *optimum, double *ours,
                          size_t *n_tests) {
    plain p = {.k = k};
    size_t made[DEEPEST + 1];
    bp_posterior *posterior = bp_posterior_new(k->atlas, &k->prior, NULL, 0);
    p.f = posterior ? bp_forecast_new(posterior) : NULL;
    p.top = bp_bench_top_new(k->atlas);
    bool good = p.f && p.top && bp_forecast_tests(p.f, k->test, k->n_tests) == BP_OK;
    if (good)
        choose_cases(&p, n_classes < MOST_CLASSES ? n_classes : MOST_CLASSES);
    for (size_t t = 0; good && t < p.f->n_tests; t++)
        good = add_test(&p, t);
    if (good) {
        p.z.n_classes = p.z.n_cases;
        p.z.class_of = p.class_of;
        p.z.test = p.test;
        p.z.minutes = minutes;
        p.z.data = &p;
        p.z.enough = 0.9999;
        p.z.least = 1e-6;
        *n_tests = p.z.n_tests;
        *optimum = optimum_minutes(&p.z, p.weight, MOST_SITUATIONS);
        *ours = follow(&p.z, p.weight, made, 0);
    }
    for (size_t t = 0; t < p.z.n_tests; t++)
        free(p.test[t].p);
    bp_bench_top_free(&p.top);
    bp_forecast_free(&p.f);
    bp_posterior_free(&posterior);
    return good && !isnan(*optimum);
}
