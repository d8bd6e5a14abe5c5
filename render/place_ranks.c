/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ranks: a part stands under those that its current comes from. Grounds stand in the last one, and
 * parts that share a housing side by side in one.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "render/place.h"

typedef struct bp_edge {
    size_t up, down; /* nodes */
} bp_edge;

static bool same_housing(const bp_plan *plan, size_t a, size_t b) {
    const char *unit = bp_block_part(plan, a)->unit, *other = bp_block_part(plan, b)->unit;
    return unit && other && strcmp(unit, other) == 0;
}

static bool is_ground(const bp_plan *plan, const bp_node *node) {
    return bp_block_part(plan, plan->members[node->first_block])->kind == &bp_kind_ground;
}

/* Blocks side by side in one node; the node's own x is the first one's. */
static void lay_members(bp_plan *plan, bp_node *node) {
    double x = 0;
    for (size_t i = 0; i < node->n_blocks; i++) {
        bp_block *block = &plan->blocks[plan->members[node->first_block + i]];
        if (i > 0)
            x += block->left + 1;
        block->x = x;
        double middle = floor(block->h / 2);
        bool hung = bp_block_part(plan, plan->members[node->first_block])->kind == &bp_kind_ground;
        double reference = hung ? block->h : middle;
        block->y = -reference;
        node->above = fmax(node->above, block->above + reference);
        node->below = fmax(node->below, block->below - reference);
        if (i == 0)
            node->left = block->left;
        node->right = x + block->right;
        x += block->right;
    }
    /* The outline of a housing needs a little room around its parts. */
    if (node->n_blocks > 1) {
        node->left += 1;
        node->right += 1;
        node->above += 1;
        node->below += 1;
    }
}

bp_box bp_plan_housing(const bp_plan *plan, size_t index) {
    const bp_node *node = &plan->nodes[index];
    double x1 = 1e9, y1 = 1e9, x2 = -1e9, y2 = -1e9;
    for (size_t m = 0; m < node->n_blocks; m++) {
        const bp_block *block = &plan->blocks[plan->members[node->first_block + m]];
        x1 = fmin(x1, block->x + fmin(0, block->name.w > 0 ? block->name.x : 0));
        y1 = fmin(y1, block->y);
        x2 = fmax(x2, block->x + fmax(block->w, block->name.x + block->name.w));
        y2 = fmax(y2, block->y + block->h);
    }
    return (bp_box){x1 - 0.5, y1 - 0.3, x2 - x1 + 1, y2 - y1 + 0.6};
}

static void make_nodes(bp_plan *plan) {
    size_t n_members = 0;
    for (size_t b = 0; b < plan->n_blocks; b++)
        plan->blocks[b].node = BP_NONE;
    for (size_t b = 0; b < plan->n_blocks; b++) {
        if (plan->blocks[b].node != BP_NONE)
            continue;
        bp_node *node = &plan->nodes[plan->n_nodes];
        memset(node, 0, sizeof *node);
        node->first_block = n_members;
        node->net = BP_NONE;
        for (size_t c = b; c < plan->n_blocks; c++) {
            if (c != b && !same_housing(plan, b, c))
                continue;
            plan->blocks[c].node = plan->n_nodes;
            plan->members[n_members++] = c;
            node->n_blocks++;
        }
        const bp_part *part = bp_block_part(plan, b);
        node->column_fixed = part->placed;
        node->column = part->x;
        node->rank = part->placed ? (int)fmax(1, fmin(60, floor(part->y))) : 0;
        if (b == plan->battery && !part->placed)
            node->group = -1;
        else if (part->kind == &bp_kind_ground)
            node->group = bp_kind_param(part->kind, "on") >= 0 &&
                                  part->param[bp_kind_param(part->kind, "on")] > 0
                              ? 2
                              : 1;
        lay_members(plan, node);
        plan->n_nodes++;
    }
}

static size_t hops_at(const bp_plan *plan, const bp_end *end) {
    const bp_part *part = bp_block_part(plan, end->block);
    size_t pin = plan->blocks[end->block].terminal[end->terminal].pin;
    return plan->hops[plan->circuit->faces[part->pins[pin].harness].node];
}

/* +1: the wire leaves downwards, -1: upwards, 0: either way. */
static int points_down(const bp_plan *plan, const bp_end *end) {
    const bp_block *block = &plan->blocks[end->block];
    if (bp_block_part(plan, end->block)->kind == &bp_kind_splice)
        return 0;
    bp_side side = block->terminal[end->terminal].side;
    return side == BP_TOP ? -1 : side == BP_BOTTOM ? 1 : 0;
}

/* Parts passed from the feed to the nearest pin of a block: tells which splice comes first. */
static size_t hops_of_block(const bp_plan *plan, size_t block) {
    size_t best = (size_t)-1;
    for (size_t t = 0; t < plan->blocks[block].shape.n_terminals; t++) {
        size_t hops = hops_at(plan, &(bp_end){block, t});
        best = hops < best ? hops : best;
    }
    return best;
}

/* Whether the current takes a longer way to this pin through its part than to the rest of its
 * joint. A splice stands under its shortest feed; what comes the long way reaches it sideways. */
static bool is_long_way(const bp_plan *plan, const bp_end *end) {
    const bp_part *part = bp_block_part(plan, end->block);
    size_t pin = plan->blocks[end->block].terminal[end->terminal].pin;
    size_t pairs[BP_MAX_TERMINALS][2], n = bp_symbol_paths(part, pairs), best = BP_NONE;
    for (size_t i = 0; i < n; i++) {
        if (pairs[i][0] != pin && pairs[i][1] != pin)
            continue;
        size_t other = pairs[i][pairs[i][0] == pin];
        size_t hops = plan->hops[plan->circuit->faces[part->pins[other].harness].node];
        best = hops < best ? hops : best;
    }
    return best != BP_NONE && best >= hops_at(plan, end);
}

static bool edge_of(const bp_plan *plan, const bp_net *net, bp_edge *edge) {
    if (net->part == BP_NONE || net->end[0].block >= BP_RAIL_BOTTOM ||
        net->end[1].block >= BP_RAIL_BOTTOM)
        return false;
    int way[2] = {points_down(plan, &net->end[0]), points_down(plan, &net->end[1])};
    size_t node[2] = {plan->blocks[net->end[0].block].node, plan->blocks[net->end[1].block].node};
    if (node[0] == node[1] || (way[0] == way[1] && way[0] != 0))
        return false;
    int up = way[0] > way[1] ? 0 : 1;
    if (way[0] == way[1])
        up = hops_of_block(plan, net->end[0].block) <= hops_of_block(plan, net->end[1].block) ? 0
                                                                                              : 1;
    bool to_splice = bp_block_part(plan, net->end[!up].block)->kind == &bp_kind_splice;
    if (to_splice && is_long_way(plan, &net->end[up]))
        return false;
    *edge = (bp_edge){node[up], node[!up]};
    return true;
}

/* Longest path from the top. A loop shows as a rank that keeps growing: its edges are then let go
 * of one by one. */
static void rank_down(bp_plan *plan, bp_edge *edges, size_t n) {
    for (size_t i = 0; i < plan->n_nodes; i++)
        if (plan->nodes[i].rank == 0)
            plan->nodes[i].rank = 1;
    for (size_t round = 0; round <= plan->n_nodes * 2; round++) {
        bool moved = false;
        for (size_t e = 0; e < n; e++) {
            bp_node *up = &plan->nodes[edges[e].up], *down = &plan->nodes[edges[e].down];
            if (edges[e].up == edges[e].down || down->column_fixed || down->rank > up->rank)
                continue;
            if ((size_t)up->rank > plan->n_nodes) {
                edges[e].down = edges[e].up; /* part of a loop */
                for (size_t i = 0; i < plan->n_nodes; i++)
                    if (!plan->nodes[i].column_fixed)
                        plan->nodes[i].rank = 1;
                moved = true;
                break;
            }
            down->rank = up->rank + 1;
            moved = true;
        }
        if (!moved)
            return;
    }
}

/* Parts with more to feed than to be fed by sink towards what they feed; fuses stay up. */
static void sink(bp_plan *plan, const bp_edge *edges, size_t n) {
    for (size_t pass = 0; pass < plan->n_nodes; pass++) {
        bool moved = false;
        for (size_t i = 0; i < plan->n_nodes; i++) {
            bp_node *node = &plan->nodes[i];
            int fed = 0, feeds = 0, limit = 1 << 20;
            for (size_t e = 0; e < n; e++) {
                if (edges[e].up == edges[e].down)
                    continue;
                fed += edges[e].down == i;
                feeds += edges[e].up == i;
                if (edges[e].up == i && plan->nodes[edges[e].down].rank - 1 < limit)
                    limit = plan->nodes[edges[e].down].rank - 1;
            }
            if (node->column_fixed || fed == 0 || feeds <= fed || limit <= node->rank ||
                limit == 1 << 20)
                continue;
            node->rank = limit;
            moved = true;
        }
        if (!moved)
            return;
    }
}

static void drop_empty_ranks(bp_plan *plan) {
    int shift = 0;
    for (int rank = 1; rank <= plan->n_ranks; rank++) {
        bool used = false;
        for (size_t i = 0; i < plan->n_nodes; i++) {
            if (plan->nodes[i].rank == rank - shift && plan->nodes[i].group != -1) {
                used = true;
                break;
            }
        }
        if (used)
            continue;
        for (size_t i = 0; i < plan->n_nodes; i++)
            if (plan->nodes[i].rank > rank - shift)
                plan->nodes[i].rank--;
        shift++;
    }
    plan->n_ranks = plan->n_ranks > shift ? plan->n_ranks - shift : 1;
}

static void rank_ends(bp_plan *plan) {
    int last = 0;
    bool grounds = false;
    for (size_t i = 0; i < plan->n_nodes; i++) {
        bool ground = is_ground(plan, &plan->nodes[i]);
        grounds = grounds || ground;
        if ((!ground || plan->nodes[i].column_fixed) && plan->nodes[i].group != -1 &&
            plan->nodes[i].rank > last)
            last = plan->nodes[i].rank;
    }
    /* All grounds share the metal's line, wherever the layout puts one. */
    for (size_t i = 0; i < plan->n_nodes; i++)
        if (is_ground(plan, &plan->nodes[i]))
            plan->nodes[i].rank = last + 1;
    plan->n_ranks = last + (grounds ? 1 : 0);
    if (plan->n_ranks < 1)
        plan->n_ranks = 1;
    drop_empty_ranks(plan);
    for (size_t i = 0; i < plan->n_nodes; i++)
        if (plan->nodes[i].group == -1)
            plan->nodes[i].rank = (plan->n_ranks + 1) / 2;
}

bool bp_plan_ranks(bp_plan *plan) {
    plan->nodes = calloc(plan->n_blocks + 1, sizeof *plan->nodes);
    plan->members = calloc(plan->n_blocks + 1, sizeof *plan->members);
    bp_edge *edges = calloc(plan->n_nets + 1, sizeof *edges);
    bool ok = plan->nodes && plan->members && edges;
    if (ok) {
        make_nodes(plan);
        size_t n = 0;
        for (size_t i = 0; i < plan->n_nets; i++)
            n += edge_of(plan, &plan->nets[i], &edges[n]);
        rank_down(plan, edges, n);
        sink(plan, edges, n);
        rank_ends(plan);
    }
    free(edges);
    return ok;
}
