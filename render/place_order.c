/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Order within the ranks, so that few wires cross: each node goes to the mean place of its
 * neighbours above, then below, in turn; then neighbours change places where that helps.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "render/place.h"

enum { SWEEPS = 8, STARTS = 24 };

typedef struct bp_sorter {
    bp_plan *plan;
    double *key;
    size_t *place;  /* of each node in its rank */
    double *at;     /* port_place of each link's two ends, in turn */
    size_t *best;   /* of one start */
    size_t *winner; /* of all */
    bool *wired;    /* to the rank that is sorted by */
} bp_sorter;

static void number_places(bp_sorter *s) {
    for (int rank = 1; rank <= s->plan->n_ranks; rank++)
        for (size_t i = s->plan->rank_start[rank]; i < s->plan->rank_start[rank + 1]; i++)
            s->place[s->plan->order[i]] = i - s->plan->rank_start[rank];
}

static double port_place(const bp_sorter *s, size_t node, double port) {
    const bp_node *n = &s->plan->nodes[node];
    double width = n->left + n->right;
    return (double)s->place[node] + 0.05 + 0.9 * (width > 0 ? (port + n->left) / width : 0.5);
}

/* A wire between two parts of one rank passes over the wires of those that stand between. */
static size_t level_crossings(const bp_sorter *s, const bp_link *level) {
    const bp_plan *plan = s->plan;
    size_t a = s->place[level->node[0]], b = s->place[level->node[1]], count = 0;
    int rank = plan->nodes[level->node[0]].rank;
    size_t low = a < b ? a : b, high = a < b ? b : a;
    for (size_t l = 0; l < plan->n_links; l++)
        for (int end = 0; end < 2; end++) {
            const bp_link *link = &plan->links[l];
            size_t node = link->node[end];
            if (plan->nodes[node].rank == rank && plan->nodes[link->node[!end]].rank < rank)
                count += s->place[node] > low && s->place[node] < high;
        }
    return count;
}

static size_t crossings(const bp_sorter *s) {
    size_t count = 0;
    const bp_plan *plan = s->plan;
    for (size_t i = 0; i < plan->n_links; i++) {
        const bp_link *a = &plan->links[i];
        int rank = plan->nodes[a->node[0]].rank;
        if (plan->nodes[a->node[1]].rank == rank) {
            count += level_crossings(s, a);
            continue;
        }
        for (size_t k = i + 1; k < plan->n_links; k++) {
            const bp_link *b = &plan->links[k];
            if (plan->nodes[b->node[0]].rank != rank || plan->nodes[b->node[1]].rank != rank + 1)
                continue;
            double d_up = s->at[2 * i] - s->at[2 * k], d_low = s->at[2 * i + 1] - s->at[2 * k + 1];
            count += d_up * d_low < -1e-9;
        }
    }
    return count;
}

/* What an order costs: crossings first, then how far wires run sideways. */
static size_t cost(const bp_sorter *s) {
    double sideways = 0;
    for (size_t l = 0; l < s->plan->n_links; l++) {
        const bp_link *link = &s->plan->links[l];
        for (size_t end = 0; end < 2; end++)
            s->at[2 * l + end] = port_place(s, link->node[end], link->port[end]);
        sideways += fabs(s->at[2 * l] - s->at[2 * l + 1]);
    }
    return 100000 * crossings(s) + (size_t)(100 * sideways);
}

/* Whether b may stand left of a: the battery first, the two metals apart, the layout's columns. */
static bool may_swap(const bp_plan *plan, size_t a, size_t b) {
    const bp_node *left = &plan->nodes[a], *right = &plan->nodes[b];
    if (left->group != right->group)
        return false;
    return !(left->column_fixed && right->column_fixed) || left->column >= right->column;
}

static void insert_sorted(bp_sorter *s, size_t first, size_t last) {
    bp_plan *plan = s->plan;
    for (size_t i = first + 1; i < last; i++) {
        size_t node = plan->order[i], k = i;
        while (k > first) {
            size_t before = plan->order[k - 1];
            int group = plan->nodes[node].group - plan->nodes[before].group;
            if (group > 0 || (group == 0 && s->key[node] >= s->key[before] - 1e-9))
                break;
            plan->order[k] = before;
            k--;
        }
        plan->order[k] = node;
    }
}

/* Parts that the layout gives columns keep their order: they are dealt out again over the places
 * that they hold. */
static void keep_columns(bp_plan *plan, size_t first, size_t last) {
    for (size_t i = first; i < last; i++)
        for (size_t k = i + 1; k < last; k++) {
            const bp_node *a = &plan->nodes[plan->order[i]], *b = &plan->nodes[plan->order[k]];
            if (!a->column_fixed || !b->column_fixed || a->column <= b->column)
                continue;
            size_t node = plan->order[i];
            plan->order[i] = plan->order[k];
            plan->order[k] = node;
        }
}

/* The metals go in the order that their grounds want on the whole. */
static void gather_groups(bp_sorter *s, size_t first, size_t last) {
    double sum[2] = {0, 0};
    size_t n[2] = {0, 0};
    bp_plan *plan = s->plan;
    for (size_t i = first; i < last; i++) {
        int group = abs(plan->nodes[plan->order[i]].group);
        if (group == 1 || group == 2) {
            if (plan->nodes[plan->order[i]].group < 0 || !s->wired[plan->order[i]])
                continue;
            sum[group - 1] += s->key[plan->order[i]];
            n[group - 1]++;
        }
    }
    if (!n[0] || !n[1])
        return;
    bool swap = sum[0] / (double)n[0] > sum[1] / (double)n[1];
    for (size_t i = 0; i < plan->n_nodes; i++)
        if (plan->nodes[i].n_blocks > 0 && plan->nodes[i].group > 0) {
            bool body = bp_block_part(plan, plan->members[plan->nodes[i].first_block])
                            ->param[bp_kind_param(&bp_kind_ground, "on")] == 0;
            plan->nodes[i].group = body == !swap ? 1 : 2;
        }
}

/* Without wires to the rank beside, a node keeps near those that it has a wire to in its own. */
static void level_pull(const bp_sorter *s, size_t node, double *sum, double *weight) {
    const bp_plan *plan = s->plan;
    for (size_t l = 0; l < plan->n_links; l++)
        for (int end = 0; end < 2; end++) {
            const bp_link *link = &plan->links[l];
            if (link->node[end] != node ||
                plan->nodes[link->node[!end]].rank != plan->nodes[node].rank)
                continue;
            *sum += port_place(s, link->node[!end], link->port[!end]);
            *weight += 1;
        }
}

static void sort_rank(bp_sorter *s, int rank, int neighbour) {
    bp_plan *plan = s->plan;
    size_t first = plan->rank_start[rank], last = plan->rank_start[rank + 1];
    for (size_t i = first; i < last; i++) {
        size_t node = plan->order[i];
        double sum = 0, weight = 0;
        for (size_t l = 0; l < plan->n_links; l++)
            for (int end = 0; end < 2; end++) {
                const bp_link *link = &plan->links[l];
                if (link->node[end] != node || plan->nodes[link->node[!end]].rank != neighbour)
                    continue;
                sum += port_place(s, link->node[!end], link->port[!end]);
                weight += 1;
            }
        s->wired[node] = weight > 0;
        if (weight <= 0)
            level_pull(s, node, &sum, &weight);
        s->key[node] = weight > 0 ? sum / weight : port_place(s, node, 0);
    }
    gather_groups(s, first, last);
    insert_sorted(s, first, last);
    keep_columns(plan, first, last);
    number_places(s);
}

static void keep_best(bp_sorter *s, size_t *least) {
    size_t now = cost(s);
    if (now >= *least)
        return;
    *least = now;
    memcpy(s->best, s->plan->order, s->plan->n_nodes * sizeof *s->best);
}

static bool swap_pass(bp_sorter *s, size_t *least) {
    bp_plan *plan = s->plan;
    bool better = false;
    for (int rank = 1; rank <= plan->n_ranks; rank++)
        for (size_t i = plan->rank_start[rank]; i + 1 < plan->rank_start[rank + 1]; i++) {
            size_t a = plan->order[i], b = plan->order[i + 1];
            if (!may_swap(plan, a, b))
                continue;
            plan->order[i] = b;
            plan->order[i + 1] = a;
            number_places(s);
            size_t now = cost(s);
            if (now < *least) {
                *least = now;
                better = true;
                continue;
            }
            plan->order[i] = a;
            plan->order[i + 1] = b;
            number_places(s);
        }
    return better;
}

static void sort_all(bp_sorter *s, size_t *least) {
    bp_plan *plan = s->plan;
    memcpy(s->best, plan->order, plan->n_nodes * sizeof *s->best);
    keep_best(s, least);
    for (int sweep = 0; sweep < SWEEPS; sweep++) {
        for (int rank = 2; rank <= plan->n_ranks; rank++)
            sort_rank(s, rank, rank - 1);
        keep_best(s, least);
        for (int rank = plan->n_ranks - 1; rank >= 1; rank--)
            sort_rank(s, rank, rank + 1);
        keep_best(s, least);
    }
    memcpy(plan->order, s->best, plan->n_nodes * sizeof *s->best);
    number_places(s);
    for (int pass = 0; pass < 6 && swap_pass(s, least); pass++)
        continue;
}

static void flip(bp_plan *plan, size_t index) {
    const bp_block *block = &plan->blocks[index];
    for (size_t l = 0; l < plan->n_links; l++)
        for (int end = 0; end < 2; end++) {
            bp_link *link = &plan->links[l];
            double at = link->port[end] - block->x;
            if (link->node[end] == block->node && at >= 0 && at <= block->w)
                link->port[end] = block->x + block->w - at;
        }
    plan->mirror[index] = !plan->mirror[index];
}

/* Mirrors every part of three terminals or more where that saves crossings. */
static bool flip_pass(bp_sorter *s, size_t *least) {
    bp_plan *plan = s->plan;
    bool better = false;
    for (size_t b = 0; b < plan->n_blocks; b++) {
        const bp_block *block = &plan->blocks[b];
        if (block->turn || block->shape.n_terminals < 3)
            continue;
        flip(plan, b);
        size_t now = cost(s);
        if (now < *least) {
            *least = now;
            better = true;
        } else {
            flip(plan, b);
        }
    }
    return better;
}

/* Nodes by rank, in the order of the file to begin with. */
static void deal(bp_plan *plan) {
    size_t n = 0;
    for (int rank = 0; rank <= plan->n_ranks; rank++) {
        plan->rank_start[rank] = n;
        for (size_t i = 0; i < plan->n_nodes; i++)
            if (plan->nodes[i].rank == rank)
                plan->order[n++] = i;
    }
    plan->rank_start[plan->n_ranks + 1] = n;
}

/* A fresh order to start from: the file's first, then made ones, the same in every run. */
static void start_from(bp_sorter *s, unsigned start) {
    bp_plan *plan = s->plan;
    unsigned long state = start;
    for (size_t i = 0; i < plan->n_nodes; i++) {
        state = (state * 1103515245UL + 12345UL) & 0x7fffffffUL;
        s->key[plan->order[i]] = start ? (double)state : (double)i;
    }
    for (int rank = 1; rank <= plan->n_ranks; rank++) {
        insert_sorted(s, plan->rank_start[rank], plan->rank_start[rank + 1]);
        keep_columns(plan, plan->rank_start[rank], plan->rank_start[rank + 1]);
    }
    number_places(s);
}

/* The cheapest order from several starts; then, when asked, with parts mirrored. */
static void search(bp_sorter *s, bool mirroring) {
    bp_plan *plan = s->plan;
    size_t least = (size_t)-1;
    for (unsigned start = 0; start < STARTS; start++) {
        size_t here = (size_t)-1;
        start_from(s, start);
        sort_all(s, &here);
        if (here < least) {
            least = here;
            memcpy(s->winner, plan->order, plan->n_nodes * sizeof *s->winner);
        }
    }
    memcpy(plan->order, s->winner, plan->n_nodes * sizeof *s->winner);
    number_places(s);
    if (!mirroring)
        return;
    least = cost(s);
    for (int pass = 0; pass < 3 && flip_pass(s, &least); pass++)
        sort_all(s, &least);
}

bool bp_plan_order(bp_plan *plan) {
    bp_sorter s = {.plan = plan};
    plan->order = calloc(plan->n_nodes + 1, sizeof *plan->order);
    plan->rank_start = calloc((size_t)plan->n_ranks + 2, sizeof *plan->rank_start);
    s.key = calloc(plan->n_nodes + 1, sizeof *s.key);
    s.place = calloc(plan->n_nodes + 1, sizeof *s.place);
    s.at = calloc(2 * plan->n_links + 1, sizeof *s.at);
    s.best = calloc(plan->n_nodes + 1, sizeof *s.best);
    s.winner = calloc(plan->n_nodes + 1, sizeof *s.winner);
    s.wired = calloc(plan->n_nodes + 1, sizeof *s.wired);
    plan->mirror = calloc(plan->n_blocks + 1, sizeof *plan->mirror);
    const bp_recipe *recipe = plan->options.recipe;
    bool ok = plan->order && plan->rank_start && s.key && s.place && s.at && s.best && s.winner &&
              s.wired && plan->mirror;
    if (ok)
        deal(plan);
    if (ok && recipe && recipe->order) {
        memcpy(plan->order, recipe->order, plan->n_nodes * sizeof *plan->order);
    } else if (ok) {
        search(&s, !recipe || !recipe->mirror);
    }
    free(s.key);
    free(s.place);
    free(s.at);
    free(s.best);
    free(s.winner);
    free(s.wired);
    return ok;
}
