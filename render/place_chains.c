/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wires that pass ranks: a place is kept free for each in every rank that it passes, and it is cut
 * into links between neighbouring ranks.
 */
#include <stdlib.h>

#include "render/place.h"

/* Half the width kept for a passing wire. */
#define PASSING 1.0

/* How much each sort of link wants to be straight. */
#define THROUGH 6.0 /* between two passing places */
#define ONTO 3.0    /* from a part to a passing place */
#define DIRECT 2.0  /* from part to part */

int bp_plan_gap(const bp_plan *plan, const bp_end *end, int toward) {
    if (end->block == BP_RAIL_TOP)
        return 0;
    if (end->block == BP_RAIL_BOTTOM)
        return plan->n_ranks;
    const bp_block *block = &plan->blocks[end->block];
    int rank = plan->nodes[block->node].rank;
    bp_side side = block->terminal[end->terminal].side;
    bool splice = bp_block_part(plan, end->block)->kind == &bp_kind_splice;
    if (splice || side == BP_LEFT_SIDE || side == BP_RIGHT_SIDE)
        return toward >= rank ? rank : rank - 1;
    return side == BP_TOP ? rank - 1 : rank;
}

static double port_of(const bp_plan *plan, const bp_end *end) {
    const bp_block *block = &plan->blocks[end->block];
    return block->x + block->terminal[end->terminal].x;
}

static bool add_node(bp_plan *plan, size_t *room, int rank, size_t net, int group) {
    if (plan->n_nodes == *room) {
        *room = *room * 2 + 16;
        bp_node *grown = realloc(plan->nodes, *room * sizeof *grown);
        if (!grown)
            return false;
        plan->nodes = grown;
    }
    plan->nodes[plan->n_nodes++] =
        (bp_node){.rank = rank, .net = net, .left = PASSING, .right = PASSING, .group = group};
    return true;
}

static bool add_link(bp_plan *plan, size_t *room, size_t a, double port_a, size_t b, double port_b,
                     double weight) {
    int ra = plan->nodes[a].rank, rb = plan->nodes[b].rank;
    if (ra != rb && ra - rb != 1 && rb - ra != 1)
        return true;
    if (plan->n_links == *room) {
        *room = *room * 2 + 16;
        bp_link *grown = realloc(plan->links, *room * sizeof *grown);
        if (!grown)
            return false;
        plan->links = grown;
    }
    bool swap = ra > rb;
    plan->links[plan->n_links++] = (bp_link){
        {swap ? b : a, swap ? a : b}, {swap ? port_b : port_a, swap ? port_a : port_b}, weight};
    return true;
}

static int node_rank(const bp_plan *plan, const bp_end *end) {
    return end->block >= BP_RAIL_BOTTOM ? 0 : plan->nodes[plan->blocks[end->block].node].rank;
}

typedef struct bp_room {
    size_t nodes, links;
} bp_room;

/* One wire: passing places from gap to gap, linked to each other and to its ends. */
static bool chain(bp_plan *plan, size_t index, bp_room *room) {
    const bp_net *net = &plan->nets[index];
    bp_end a = net->end[0], b = net->end[1];
    int gap_a = bp_plan_gap(plan, &a, node_rank(plan, &b));
    int gap_b = bp_plan_gap(plan, &b, gap_a > 0 ? gap_a : node_rank(plan, &a));
    if (gap_a > gap_b) {
        bp_end end = a;
        a = b;
        b = end;
        int gap = gap_a;
        gap_a = gap_b;
        gap_b = gap;
    }
    bool battery = (a.block < BP_RAIL_BOTTOM && a.block == plan->battery) ||
                   (b.block < BP_RAIL_BOTTOM && b.block == plan->battery);
    size_t before = a.block < BP_RAIL_BOTTOM ? plan->blocks[a.block].node : BP_NONE;
    double port = before != BP_NONE ? port_of(plan, &a) : 0;
    for (int rank = gap_a + 1; rank <= gap_b; rank++) {
        size_t node = plan->n_nodes;
        if (!add_node(plan, &room->nodes, rank, index, battery ? -1 : 0))
            return false;
        bool through = before != BP_NONE && plan->nodes[before].n_blocks == 0;
        if (before != BP_NONE &&
            !add_link(plan, &room->links, before, port, node, 0, through ? THROUGH : ONTO))
            return false;
        before = node;
        port = 0;
    }
    if (b.block >= BP_RAIL_BOTTOM || before == BP_NONE)
        return true;
    bool passing = plan->nodes[before].n_blocks == 0;
    return before == plan->blocks[b.block].node ||
           add_link(plan, &room->links, before, port, plan->blocks[b.block].node, port_of(plan, &b),
                    passing ? ONTO : DIRECT);
}

bool bp_plan_chains(bp_plan *plan) {
    bp_room room = {plan->n_blocks + 1, 0};
    for (size_t i = 0; i < plan->n_nets; i++)
        if (!chain(plan, i, &room))
            return false;
    return true;
}
