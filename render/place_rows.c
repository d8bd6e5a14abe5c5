/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rows: each rank takes the height of its tallest part with its tags, and between two ranks there
 * is room for the wires that change columns there and for what is written beside them. Where the
 * page is short (`lifted`), every part moves up as far as those over it let it.
 */
#include <math.h>
#include <stdlib.h>

#include "render/place.h"

/* Whether a link changes columns in a gap, and between which two. */
static bool crosses_gap(const bp_plan *plan, const bp_link *link, int gap, double *x1, double *x2) {
    const bp_node *a = &plan->nodes[link->node[0]], *b = &plan->nodes[link->node[1]];
    bool level = a->rank == b->rank && (gap == a->rank || gap == a->rank - 1);
    if (!level && !(a->rank == gap && b->rank == gap + 1))
        return false;
    double xa = a->x + link->port[0], xb = b->x + link->port[1];
    *x1 = fmin(xa, xb);
    *x2 = fmax(xa, xb);
    return *x2 - *x1 > 0.5;
}

/* The most wires that run side by side in a gap across one column between left and right. */
static int tracks(const bp_plan *plan, int gap, double left, double right) {
    int most = 0;
    for (size_t i = 0; i < plan->n_links; i++) {
        double at, to;
        if (!crosses_gap(plan, &plan->links[i], gap, &at, &to) || at > right || to < left)
            continue;
        at = fmax(at, left);
        int here = 0;
        for (size_t k = 0; k < plan->n_links; k++) {
            double x1, x2;
            here += crosses_gap(plan, &plan->links[k], gap, &x1, &x2) && x1 <= at && at <= x2;
        }
        most = here > most ? here : most;
    }
    return most;
}

static double gap_height(const bp_plan *plan, int gap, double left, double right) {
    /* Lifted, a wire's label finds room between the stubs, or the gap is loosened for it. */
    double written = plan->options.lift ? 0 : ceil(bp_plan_cells(plan, 9.5));
    int extra = plan->options.extra ? plan->options.extra[gap] : 0;
    return written + tracks(plan, gap, left, right) + extra;
}

/* Every node on the line of its rank; returns the line under the last one. */
static double in_rows(const bp_plan *plan, double *y) {
    double at = plan->rail_y;
    for (int rank = 1; rank <= plan->n_ranks; rank++) {
        double above = 0, below = 0;
        for (size_t i = plan->rank_start[rank]; i < plan->rank_start[rank + 1]; i++) {
            above = fmax(above, plan->nodes[plan->order[i]].above);
            below = fmax(below, plan->nodes[plan->order[i]].below);
        }
        at += gap_height(plan, rank - 1, 0, plan->width) + ceil(above);
        for (size_t i = plan->rank_start[rank]; i < plan->rank_start[rank + 1]; i++)
            y[plan->order[i]] = at;
        at += ceil(below);
    }
    return at;
}

static bool overlap(const bp_node *a, const bp_node *b) {
    return a->x - a->left < b->x + b->right + 1 && b->x - b->left < a->x + a->right + 1;
}

/* How high a node may stand: under all that share its columns, and under what it is wired to. */
static double highest(const bp_plan *plan, const double *y, size_t index, double gap) {
    const bp_node *node = &plan->nodes[index];
    double top = plan->rail_y + gap;
    for (size_t i = 0; i < plan->n_nodes; i++) {
        const bp_node *over = &plan->nodes[i];
        if (over->rank < node->rank && over->n_blocks > 0 && node->n_blocks > 0 &&
            over->group != -1 && overlap(over, node))
            top = fmax(top, y[i] + over->below + gap);
    }
    for (size_t l = 0; l < plan->n_links; l++) {
        const bp_link *link = &plan->links[l];
        const bp_node *over = &plan->nodes[link->node[0]];
        if (link->node[1] == index && over->rank < node->rank)
            top = fmax(top, y[link->node[0]] + over->below + (node->n_blocks ? gap : 0));
    }
    return ceil(top + node->above);
}

/* A height that no page has. */
#define NO_ROOM 1e6

/* The battery: as near to the middle as nothing else is in its place. */
static bool stand_free(const bp_plan *plan, double *y, size_t index, double low) {
    const bp_node *node = &plan->nodes[index];
    double middle = ceil((plan->rail_y + low) / 2), best = NO_ROOM;
    for (double at = ceil(plan->rail_y + 1 + node->above); at + node->below <= low; at++) {
        bool free = true;
        for (size_t i = 0; i < plan->n_nodes && free; i++) {
            const bp_node *other = &plan->nodes[i];
            free = i == index || other->n_blocks == 0 || !overlap(node, other) ||
                   at - node->above > y[i] + other->below + 1 ||
                   y[i] - other->above > at + node->below + 1;
        }
        if (free && fabs(at - middle) < fabs(best - middle))
            best = at;
    }
    y[index] = best < NO_ROOM ? best : middle;
    return best < NO_ROOM;
}

/* As in_rows, with every node as high as it goes; the battery and the grounds come last. */
static double lifted(bp_plan *plan, double *y) {
    double low = plan->rail_y, last_gap = gap_height(plan, plan->n_ranks - 1, 0, plan->width);
    for (int rank = 1; rank <= plan->n_ranks; rank++) {
        for (size_t i = plan->rank_start[rank]; i < plan->rank_start[rank + 1]; i++) {
            size_t index = plan->order[i];
            const bp_node *node = &plan->nodes[index];
            y[index] =
                highest(plan, y, index,
                        gap_height(plan, rank - 1, node->x - node->left, node->x + node->right));
            if (plan->nodes[index].group != -1 && plan->nodes[index].n_blocks > 0 &&
                (rank < plan->n_ranks || plan->bottom_rail))
                low = fmax(low, y[index] + plan->nodes[index].below);
        }
    }
    double ground = 0, under = 0;
    size_t first = plan->rank_start[plan->n_ranks], last = plan->rank_start[plan->n_ranks + 1];
    for (size_t i = first; i < last && !plan->bottom_rail; i++) {
        const bp_node *node = &plan->nodes[plan->order[i]];
        ground = fmax(ground, fmax(low + last_gap + node->above, y[plan->order[i]]));
        under = fmax(under, node->below);
    }
    for (size_t i = first; i < last && !plan->bottom_rail; i++)
        y[plan->order[i]] = ceil(ground);
    for (size_t i = 0; i < plan->n_nodes; i++)
        if (plan->nodes[i].group == -1 && plan->nodes[i].n_blocks > 0 &&
            !stand_free(plan, y, i, plan->bottom_rail ? low : ground - last_gap - 5))
            plan->no_room = true;
    return plan->bottom_rail ? low : ceil(ground) + ceil(under);
}

static void find_metals(bp_plan *plan) {
    for (int metal = 0; metal < 2; metal++) {
        plan->metal_x1[metal] = 1e9;
        plan->metal_x2[metal] = -1e9;
    }
    for (size_t b = 0; b < plan->n_blocks; b++) {
        const bp_part *part = bp_block_part(plan, b);
        if (part->kind != &bp_kind_ground)
            continue;
        int on = part->param[bp_kind_param(part->kind, "on")] > 0;
        double x = plan->blocks[b].x + 1;
        plan->metal_x1[on] = fmin(plan->metal_x1[on], x - 2);
        plan->metal_x2[on] = fmax(plan->metal_x2[on], x + 2);
    }
}

bool bp_plan_rows(bp_plan *plan) {
    double *y = calloc(plan->n_nodes + 1, sizeof *y);
    if (!y)
        return false;
    plan->rail_y = ceil(bp_plan_cells(plan, 13));
    double at = plan->options.lift ? lifted(plan, y) : in_rows(plan, y);
    if (plan->bottom_rail)
        at += gap_height(plan, plan->n_ranks, 0, plan->width);
    plan->metal_y = at;
    for (size_t b = 0; b < plan->n_blocks; b++) {
        bp_block *block = &plan->blocks[b];
        block->x += plan->nodes[block->node].x;
        block->y += y[block->node];
        if (!plan->bottom_rail && bp_block_part(plan, b)->kind == &bp_kind_ground)
            plan->metal_y = block->y + block->h;
    }
    plan->height_cells = at + ceil(bp_plan_cells(plan, 15));
    find_metals(plan);
    free(y);
    return true;
}
