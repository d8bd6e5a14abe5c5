/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rows: each rank takes the height of its tallest part with its tags, and between two ranks there
 * is room for the wires that change columns there and for what is written beside them.
 */
#include <math.h>
#include <stdlib.h>

#include "render/place.h"

/* The most wires that run side by side across one column of a gap. */
static int tracks(const bp_plan *plan, int gap) {
    int most = 0;
    for (size_t i = 0; i < plan->n_links; i++) {
        const bp_link *link = &plan->links[i];
        const bp_node *a = &plan->nodes[link->node[0]], *b = &plan->nodes[link->node[1]];
        bool level = a->rank == b->rank && (gap == a->rank || gap == a->rank - 1);
        if (!level && !(a->rank == gap && b->rank == gap + 1))
            continue;
        double at = fmin(a->x + link->port[0], b->x + link->port[1]);
        int here = 0;
        for (size_t k = 0; k < plan->n_links; k++) {
            const bp_link *other = &plan->links[k];
            const bp_node *c = &plan->nodes[other->node[0]], *d = &plan->nodes[other->node[1]];
            bool beside = c->rank == d->rank && (gap == c->rank || gap == c->rank - 1);
            if (!beside && !(c->rank == gap && d->rank == gap + 1))
                continue;
            double x1 = c->x + other->port[0], x2 = d->x + other->port[1];
            if (fabs(x1 - x2) > 0.5 && fmin(x1, x2) <= at && at <= fmax(x1, x2))
                here++;
        }
        most = here > most ? here : most;
    }
    return most;
}

static double gap_height(const bp_plan *plan, int gap) {
    double written = ceil(bp_plan_cells(plan, 9.5));
    int across = tracks(plan, gap);
    return written + (across) + ceil(plan->loose);
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
    double *y = calloc((size_t)plan->n_ranks + 2, sizeof *y);
    if (!y)
        return false;
    plan->rail_y = ceil(bp_plan_cells(plan, 13));
    double at = plan->rail_y;
    for (int rank = 1; rank <= plan->n_ranks; rank++) {
        double above = 0, below = 0;
        for (size_t i = plan->rank_start[rank]; i < plan->rank_start[rank + 1]; i++) {
            above = fmax(above, plan->nodes[plan->order[i]].above);
            below = fmax(below, plan->nodes[plan->order[i]].below);
        }
        at += gap_height(plan, rank - 1) + ceil(above);
        y[rank] = at;
        at += ceil(below);
    }
    if (plan->bottom_rail)
        at += gap_height(plan, plan->n_ranks);
    plan->metal_y = plan->bottom_rail ? at : y[plan->n_ranks];
    for (size_t b = 0; b < plan->n_blocks; b++) {
        bp_block *block = &plan->blocks[b];
        block->x += plan->nodes[block->node].x;
        block->y += y[plan->nodes[block->node].rank];
    }
    plan->height_cells = fmax(at, plan->metal_y) + ceil(bp_plan_cells(plan, 14));
    find_metals(plan);
    plan->rail_x1 = 1;
    plan->rail_x2 = plan->width - 1;
    free(y);
    return true;
}
