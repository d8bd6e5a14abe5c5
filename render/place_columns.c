/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Columns: every node goes where most of its wires run straight, as far as its neighbours in the
 * rank let it. For one rank that is an isotonic regression in the sum of absolute distances, solved
 * exactly by pooling neighbours that want to pass each other; the ranks are visited down and up
 * until they agree. Medians of whole cells are whole cells, so nothing needs rounding.
 */
#include <math.h>
#include <stdlib.h>

#include "render/place.h"

enum { SWEEPS = 10 };

typedef struct bp_want {
    double x, weight;
} bp_want;

typedef struct bp_pool {
    size_t first, last; /* places in the rank, last not included */
    double x;
} bp_pool;

typedef struct bp_fit {
    bp_plan *plan;
    bp_want *wants;
    size_t n_wants;
    double *offset; /* of the node in the packed rank */
    bp_pool *pools;
} bp_fit;

static int compare_wants(const void *a, const void *b) {
    double d = ((const bp_want *)a)->x - ((const bp_want *)b)->x;
    return d < 0 ? -1 : d > 0;
}

/* Wishes of one node, shifted by its place in the packed rank. */
static void gather(bp_fit *fit, size_t node, double offset, bool up, bool down) {
    const bp_plan *plan = fit->plan;
    for (size_t l = 0; l < plan->n_links; l++)
        for (int end = 0; end < 2; end++) {
            const bp_link *link = &plan->links[l];
            if (link->node[end] != node || link->node[!end] == node)
                continue;
            const bp_node *other = &plan->nodes[link->node[!end]];
            int step = other->rank - plan->nodes[node].rank;
            if (step == 0 || (step < 0 && !up) || (step > 0 && !down))
                continue;
            fit->wants[fit->n_wants++] =
                (bp_want){other->x + link->port[!end] - link->port[end] - offset, link->weight};
        }
}

/* The weighted median of what all nodes of a pool want. */
static double median(bp_fit *fit, const bp_pool *pool, size_t start, bool up, bool down) {
    fit->n_wants = 0;
    for (size_t i = pool->first; i < pool->last; i++)
        gather(fit, fit->plan->order[start + i], fit->offset[i], up, down);
    if (fit->n_wants == 0) /* nothing pulls: stay */
        return fit->plan->nodes[fit->plan->order[start + pool->first]].x - fit->offset[pool->first];
    qsort(fit->wants, fit->n_wants, sizeof *fit->wants, compare_wants);
    double total = 0, sum = 0;
    for (size_t i = 0; i < fit->n_wants; i++)
        total += fit->wants[i].weight;
    for (size_t i = 0; i < fit->n_wants; i++) {
        sum += fit->wants[i].weight;
        if (sum >= total / 2)
            return fit->wants[i].x;
    }
    return fit->wants[fit->n_wants - 1].x;
}

double bp_plan_separation(const bp_plan *plan, size_t a, size_t b) {
    const bp_node *left = &plan->nodes[a], *right = &plan->nodes[b];
    bool passing = left->n_blocks == 0 || right->n_blocks == 0;
    double gap = passing ? 0 : 1;
    return ceil(left->right + right->left + gap);
}

/* Within the page's width, if the rank is not wider than that: clamping keeps the fit exact. */
static void hold_in(bp_fit *fit, size_t n_pools, size_t start, size_t n) {
    const bp_plan *plan = fit->plan;
    if (n == 0)
        return;
    const bp_node *first = &plan->nodes[plan->order[start]];
    const bp_node *last = &plan->nodes[plan->order[start + n - 1]];
    double low = first->left;
    double high = fmax(low, bp_plan_width_limit(plan) - last->right - fit->offset[n - 1]);
    for (size_t p = 0; p < n_pools; p++)
        fit->pools[p].x = fmin(fmax(fit->pools[p].x, low), high);
}

double bp_plan_width_limit(const bp_plan *plan) {
    return floor(bp_plan_cells(plan, plan->options.width)) - 2;
}

static void fit_rank(bp_fit *fit, int rank, bool up, bool down) {
    bp_plan *plan = fit->plan;
    size_t start = plan->rank_start[rank], n = plan->rank_start[rank + 1] - start, n_pools = 0;
    for (size_t i = 0; i < n; i++)
        fit->offset[i] =
            i == 0 ? 0
                   : fit->offset[i - 1] + bp_plan_separation(plan, plan->order[start + i - 1],
                                                             plan->order[start + i]);
    for (size_t i = 0; i < n; i++) {
        bp_pool pool = {i, i + 1, 0};
        pool.x = median(fit, &pool, start, up, down);
        while (n_pools > 0 && fit->pools[n_pools - 1].x > pool.x) {
            pool.first = fit->pools[--n_pools].first;
            pool.x = median(fit, &pool, start, up, down);
        }
        fit->pools[n_pools++] = pool;
    }
    hold_in(fit, n_pools, start, n);
    for (size_t p = 0; p < n_pools; p++)
        for (size_t i = fit->pools[p].first; i < fit->pools[p].last; i++)
            plan->nodes[plan->order[start + i]].x = fit->pools[p].x + fit->offset[i];
}

static void settle(bp_fit *fit) {
    int n = fit->plan->n_ranks;
    for (int rank = 1; rank <= n; rank++)
        fit_rank(fit, rank, true, false);
    for (int sweep = 0; sweep < SWEEPS; sweep++) {
        for (int rank = n; rank >= 1; rank--)
            fit_rank(fit, rank, false, true);
        for (int rank = 1; rank <= n; rank++)
            fit_rank(fit, rank, true, sweep > 1);
    }
    for (int rank = n; rank >= 1; rank--)
        fit_rank(fit, rank, true, true);
}

bool bp_plan_columns(bp_plan *plan) {
    bp_fit fit = {.plan = plan};
    fit.wants = calloc(plan->n_links * 2 + 1, sizeof *fit.wants);
    fit.offset = calloc(plan->n_nodes + 1, sizeof *fit.offset);
    fit.pools = calloc(plan->n_nodes + 1, sizeof *fit.pools);
    bool ok = fit.wants && fit.offset && fit.pools;
    if (ok) {
        settle(&fit);
        ok = bp_plan_shift(plan);
        double left = 1e9, right = -1e9;
        for (size_t i = 0; i < plan->n_nodes; i++) {
            left = fmin(left, plan->nodes[i].x - plan->nodes[i].left);
            right = fmax(right, plan->nodes[i].x + plan->nodes[i].right);
        }
        for (size_t i = 0; i < plan->n_nodes; i++)
            plan->nodes[i].x += 1 - left;
        plan->width = plan->n_nodes ? right - left + 2 : 2;
    }
    free(fit.wants);
    free(fit.offset);
    free(fit.pools);
    return ok;
}
