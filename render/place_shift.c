/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The last touch on columns: parts that hang straight under each other are moved together, pushing
 * others aside, wherever that makes wires straighter or the drawing narrower. A rank alone cannot
 * see such moves.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "render/place.h"

#define BENT 4.0    /* what a bend costs, in cells of length */
#define WIDTH 1.5   /* what a cell of the drawing's width costs */
#define SPREAD 0.04 /* what a free cell between neighbours costs */
#define OUTSIDE 6.0 /* a cell past the page's margin */
#define LEVEL 0.4   /* weight of a wire between two parts of one rank */
enum { ROUNDS = 6 };

typedef struct bp_shifter {
    bp_plan *plan;
    double *saved;
    bool *in; /* the set to move */
    size_t *todo;
} bp_shifter;

static double slant(const bp_plan *plan, const bp_link *link) {
    return plan->nodes[link->node[1]].x + link->port[1] -
           (plan->nodes[link->node[0]].x + link->port[0]);
}

static bool is_level(const bp_plan *plan, const bp_link *link) {
    return plan->nodes[link->node[0]].rank == plan->nodes[link->node[1]].rank;
}

static double price(const bp_plan *plan) {
    double sum = 0, left = 1e9, right = -1e9, limit = bp_plan_width_limit(plan);
    for (size_t l = 0; l < plan->n_links; l++) {
        const bp_link *link = &plan->links[l];
        double away = fabs(slant(plan, link));
        if (is_level(plan, link))
            sum += LEVEL * away;
        else if (away > 0.5)
            sum += link->weight * (away * 0.5 + BENT);
    }
    for (int rank = 1; rank <= plan->n_ranks; rank++)
        for (size_t i = plan->rank_start[rank]; i < plan->rank_start[rank + 1]; i++) {
            const bp_node *node = &plan->nodes[plan->order[i]];
            double from = node->x - node->left, to = node->x + node->right;
            /* Comparisons instead of fmax: this runs for every move that is tried. */
            double before = node->left - node->x, past = to - limit;
            sum += OUTSIDE * ((before > 0 ? before : 0) + (past > 0 ? past : 0));
            left = from < left ? from : left;
            right = to > right ? to : right;
            if (i > plan->rank_start[rank])
                sum += SPREAD * (node->x - plan->nodes[plan->order[i - 1]].x);
        }
    return sum + WIDTH * (right - left);
}

/* Everything reached from a node over straight links: up, down or both. */
static void gather(bp_shifter *s, size_t node, bool up, bool down) {
    const bp_plan *plan = s->plan;
    memset(s->in, 0, plan->n_nodes * sizeof *s->in);
    size_t n = 0;
    s->todo[n++] = node;
    s->in[node] = true;
    while (n > 0) {
        size_t at = s->todo[--n];
        for (size_t l = 0; l < plan->n_links; l++)
            for (int end = 0; end < 2; end++) {
                const bp_link *link = &plan->links[l];
                size_t other = link->node[!end];
                if (link->node[end] != at || s->in[other] || is_level(plan, link) ||
                    fabs(slant(plan, link)) > 0.5 || !(end ? up : down))
                    continue;
                s->in[other] = true;
                s->todo[n++] = other;
            }
    }
}

static void shift(bp_shifter *s, double by) {
    bp_plan *plan = s->plan;
    for (size_t i = 0; i < plan->n_nodes; i++)
        plan->nodes[i].x += s->in[i] ? by : 0;
    for (int rank = 1; rank <= plan->n_ranks; rank++) {
        size_t first = plan->rank_start[rank], last = plan->rank_start[rank + 1];
        for (size_t i = first + 1; by > 0 && i < last; i++) {
            bp_node *node = &plan->nodes[plan->order[i]];
            node->x =
                fmax(node->x, plan->nodes[plan->order[i - 1]].x +
                                  bp_plan_separation(plan, plan->order[i - 1], plan->order[i]));
        }
        for (size_t i = last; by < 0 && i-- > first + 1;) {
            bp_node *node = &plan->nodes[plan->order[i - 1]];
            node->x =
                fmin(node->x, plan->nodes[plan->order[i]].x -
                                  bp_plan_separation(plan, plan->order[i - 1], plan->order[i]));
        }
    }
}

static bool try_shift(bp_shifter *s, double by, double *best) {
    bp_plan *plan = s->plan;
    if (fabs(by) < 0.5)
        return false;
    for (size_t i = 0; i < plan->n_nodes; i++)
        s->saved[i] = plan->nodes[i].x;
    shift(s, by);
    double now = price(plan);
    if (now < *best - 1e-6) {
        *best = now;
        return true;
    }
    for (size_t i = 0; i < plan->n_nodes; i++)
        plan->nodes[i].x = s->saved[i];
    return false;
}

/* The free way of a set to the left (side 0) or right before it touches another node. */
static double slack(const bp_shifter *s, int side) {
    const bp_plan *plan = s->plan;
    double least = 1e9;
    for (int rank = 1; rank <= plan->n_ranks; rank++)
        for (size_t i = plan->rank_start[rank]; i + 1 < plan->rank_start[rank + 1]; i++) {
            size_t a = plan->order[i], b = plan->order[i + 1];
            if (s->in[a] == s->in[b] || !s->in[side ? a : b])
                continue;
            least =
                fmin(least, plan->nodes[b].x - plan->nodes[a].x - bp_plan_separation(plan, a, b));
        }
    return least < 1e9 ? least : 0;
}

static bool improve_set(bp_shifter *s, double *best) {
    const bp_plan *plan = s->plan;
    for (size_t l = 0; l < plan->n_links; l++) {
        const bp_link *link = &plan->links[l];
        if (s->in[link->node[0]] == s->in[link->node[1]] || is_level(plan, link))
            continue;
        double by = slant(plan, link);
        if (try_shift(s, s->in[link->node[0]] ? by : -by, best))
            return true;
    }
    return try_shift(s, -slack(s, 0), best) || try_shift(s, slack(s, 1), best);
}

bool bp_plan_shift(bp_plan *plan) {
    bp_shifter s = {.plan = plan};
    s.saved = calloc(plan->n_nodes + 1, sizeof *s.saved);
    s.in = calloc(plan->n_nodes + 1, sizeof *s.in);
    s.todo = calloc(plan->n_nodes + 1, sizeof *s.todo);
    bool ok = s.saved && s.in && s.todo;
    double best = ok ? price(plan) : 0;
    bool better = ok;
    for (int round = 0; better && round < ROUNDS; round++) {
        better = false;
        for (size_t node = 0; node < plan->n_nodes; node++)
            for (int ways = 0; ways < 4; ways++) {
                gather(&s, node, ways & 1, ways & 2);
                better = improve_set(&s, &best) || better;
            }
    }
    free(s.saved);
    free(s.in);
    free(s.todo);
    return ok;
}
