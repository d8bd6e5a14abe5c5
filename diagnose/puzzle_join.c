/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A scale cut into a few ranges, so that as little as possible is lost of what it tells: exact, by
 * dynamic programming over where the cuts are.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/puzzle.h"

/* One range more has to keep this share of all that the test tells. */
#define WORTH 0.02

typedef struct cuts {
    size_t n, most;
    double *cost; /* [i * (n + 1) + j]: bits left of the classes when the outcome is in i .. j - 1,
                     times its weight */
    double *best; /* [k * (n + 1) + j]: least for 0 .. j - 1 in k ranges */
    size_t *from; /* where the last of those begins */
} cuts;

static void add_case(const bp_puzzle *z, const bp_puzzle_test *t, const double *weight, size_t o,
                     double *sum) {
    for (size_t i = 0; i < z->n_cases; i++)
        sum[z->class_of[i]] += weight[i] * (double)t->p[i * t->n_outcomes + o];
}

static bool find_costs(cuts *c, const bp_puzzle *z, const bp_puzzle_test *t, const double *weight) {
    double *one = calloc(c->n * z->n_classes + 1, sizeof *one);
    double *sum = calloc(z->n_classes + 1, sizeof *sum);
    for (size_t o = 0; one && o < c->n; o++)
        add_case(z, t, weight, o, &one[o * z->n_classes]);
    for (size_t i = 0; one && sum && i < c->n; i++) {
        memset(sum, 0, z->n_classes * sizeof *sum);
        for (size_t j = i + 1; j <= c->n; j++) {
            double all = 0;
            for (size_t k = 0; k < z->n_classes; k++)
                all += sum[k] += one[(j - 1) * z->n_classes + k];
            c->cost[i * (c->n + 1) + j] = all * bp_entropy(sum, z->n_classes);
        }
    }
    const bool good = one && sum;
    free(one);
    free(sum);
    return good;
}

static void find_best(cuts *c) {
    const size_t w = c->n + 1;
    for (size_t j = 0; j < w; j++)
        c->best[j] = j == 0 ? 0 : INFINITY;
    for (size_t k = 1; k <= c->most; k++)
        for (size_t j = 0; j < w; j++) {
            c->best[k * w + j] = INFINITY;
            for (size_t i = 0; i < j; i++) {
                const double cost = c->best[(k - 1) * w + i] + c->cost[i * w + j];
                if (cost < c->best[k * w + j]) {
                    c->best[k * w + j] = cost;
                    c->from[k * w + j] = i;
                }
            }
        }
}

/* The fewest ranges that keep nearly all. */
static size_t count_of(const cuts *c) {
    const size_t w = c->n + 1;
    const double all = c->best[w + c->n], least = c->best[c->most * w + c->n];
    size_t k = 1;
    while (k < c->most && c->best[k * w + c->n] - least > WORTH * (all - least) + 1e-9)
        k++;
    return k;
}

static bool make_room(cuts *c) {
    const size_t w = c->n + 1;
    c->cost = calloc(w * w, sizeof *c->cost);
    c->best = calloc((c->most + 1) * w, sizeof *c->best);
    c->from = calloc((c->most + 1) * w, sizeof *c->from);
    return c->cost && c->best && c->from;
}

size_t bp_puzzle_join(const bp_puzzle *z, const bp_puzzle_test *t, const double *weight,
                      size_t most, size_t *first) {
    cuts c = {.n = t->n_ordered, .most = most < t->n_ordered ? most : t->n_ordered};
    size_t n = 0;
    const bool good = make_room(&c) && find_costs(&c, z, t, weight);
    if (good && c.n > 0) {
        find_best(&c);
        n = count_of(&c);
        for (size_t k = n, j = c.n; k > 0; k--)
            first[k - 1] = j = c.from[k * (c.n + 1) + j];
    }
    if (good) {
        for (size_t o = t->n_ordered; o < t->n_outcomes; o++)
            first[n++] = o;
        first[n] = t->n_outcomes;
    }
    free(c.cost);
    free(c.best);
    free(c.from);
    return n;
}

bp_puzzle_test bp_puzzle_joined(const bp_puzzle *z, const bp_puzzle_test *t, const size_t *first,
                                size_t n_groups) {
    bp_puzzle_test out = {.n_outcomes = n_groups};
    out.p = calloc(z->n_cases * n_groups + 1, sizeof *out.p);
    while (out.n_ordered < n_groups && first[out.n_ordered] < t->n_ordered)
        out.n_ordered++;
    for (size_t i = 0; out.p && i < z->n_cases; i++)
        for (size_t g = 0; g < n_groups; g++)
            for (size_t o = first[g]; o < first[g + 1]; o++)
                out.p[i * n_groups + g] += t->p[i * t->n_outcomes + o];
    return out;
}
