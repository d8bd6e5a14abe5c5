/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a plan to routed wires, and what is in the way of things.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "render/schematic_private.h"
#include "render/tags.h"

void bp_boxes_add(bp_boxes *boxes, bp_box box) {
    if (boxes->n == boxes->room) {
        size_t room = boxes->room * 2 + 64;
        bp_box *grown = realloc(boxes->box, room * sizeof *grown);
        if (!grown) {
            boxes->failed = true;
            return;
        }
        boxes->box = grown;
        boxes->room = room;
    }
    boxes->box[boxes->n++] = box;
}

void bp_boxes_free(bp_boxes *boxes) {
    free(boxes->box);
    memset(boxes, 0, sizeof *boxes);
}

static bp_box moved(bp_box box, double x, double y) {
    return (bp_box){box.x + x, box.y + y, box.w, box.h};
}

void bp_schematic_boxes(const bp_schematic *s, bp_boxes *boxes, bool for_routes) {
    const bp_plan *plan = &s->plan;
    for (size_t b = 0; b < plan->n_blocks; b++) {
        const bp_block *block = &plan->blocks[b];
        bool dot = bp_block_part(plan, b)->kind == &bp_kind_splice;
        if (dot && !for_routes)
            bp_boxes_add(boxes, (bp_box){block->x + 0.6, block->y + 0.6, 0.8, 0.8});
        else if (!dot)
            bp_boxes_add(boxes, (bp_box){block->x, block->y, block->w, block->h});
        if (block->name.w > 0)
            bp_boxes_add(boxes, moved(block->name, block->x, block->y));
    }
    for (size_t i = 0; i < plan->n_nodes; i++)
        if (plan->nodes[i].n_blocks > 1)
            bp_boxes_add(boxes, bp_plan_housing(plan, i));
    double ring = bp_plan_cells(plan, BP_RING + 0.5);
    for (size_t i = 0; i < plan->n_flags; i++) {
        const bp_flag *flag = &plan->flags[i];
        const bp_block *block = &plan->blocks[flag->block];
        bp_boxes_add(boxes, moved(flag->tag, block->x, block->y));
        /* For routes the leader alone, for the rest the ring too. */
        double from = for_routes ? 0.5 : -ring, high = for_routes ? 0.1 : ring;
        bp_box leader = {flag->ring_x + from, flag->ring_y - high, 0, 2 * high};
        leader.w = flag->tag.x - leader.x;
        if (flag->left) {
            leader.x = flag->tag.x + flag->tag.w;
            leader.w = flag->ring_x - from - leader.x;
        }
        if (leader.w > 0)
            bp_boxes_add(boxes, moved(leader, block->x, block->y));
    }
    double below = plan->bottom_rail ? plan->metal_y + 0.5 : plan->metal_y;
    bp_boxes_add(boxes, (bp_box){-2, below, plan->width + 4, 8});
    double over = plan->rail_y + (for_routes ? -0.4 : 0.35);
    bp_boxes_add(boxes, (bp_box){-2, -2, plan->width + 4, over + 2});
}

/* A pin's wire runs straight on until it is out of the outline that its block shares with taller
 * ones; nothing else finds a way through that. */
static int stub_of(const bp_plan *plan, const bp_block *block, size_t terminal) {
    const bp_terminal *t = &block->terminal[terminal];
    if (plan->nodes[block->node].n_blocks < 2)
        return block->stub[terminal];
    const bp_box around = bp_plan_housing(plan, block->node);
    const double y = block->y + t->y;
    const double out = t->side == BP_TOP      ? y - around.y
                       : t->side == BP_BOTTOM ? around.y + around.h - y
                                              : 0;
    return (int)fmax(block->stub[terminal], ceil(out));
}

static bp_route_end route_end(const bp_plan *plan, const bp_end *end) {
    bp_route_end out = {0};
    if (end->block >= BP_RAIL_BOTTOM) {
        out.rail = true;
        out.pin = end->block;
        out.x = 0;
        out.x2 = (int)plan->width;
        out.y = (int)(end->block == BP_RAIL_TOP ? plan->rail_y : plan->metal_y);
        return out;
    }
    const bp_block *block = &plan->blocks[end->block];
    const bp_terminal *t = &block->terminal[end->terminal];
    out.x = (int)lround(block->x + t->x);
    out.y = (int)lround(block->y + t->y);
    out.side = t->side;
    out.stub = stub_of(plan, block, end->terminal);
    out.pin = end->block * BP_MAX_TERMINALS + end->terminal;
    return out;
}

bool bp_schematic_route(bp_schematic *s) {
    const bp_plan *plan = &s->plan;
    s->router = bp_router_new((int)plan->width + 2, (int)plan->height_cells + 2);
    if (!s->router)
        return false;
    bp_boxes boxes = {0};
    bp_schematic_boxes(s, &boxes, true);
    for (size_t i = 0; i < boxes.n; i++)
        bp_router_block(s->router, boxes.box[i]);
    bool ok = !boxes.failed;
    bp_boxes_free(&boxes);
    for (size_t i = 0; ok && i < plan->n_nets; i++) {
        bp_route_end ends[2] = {route_end(plan, &plan->nets[i].end[0]),
                                route_end(plan, &plan->nets[i].end[1])};
        ok = bp_router_add(s->router, ends);
    }
    s->lost = ok ? bp_router_run(s->router) : (size_t)-1;
    return s->lost != (size_t)-1;
}

static bool boxes_meet(const bp_box *a, const bp_box *b, double gap) {
    return a->x < b->x + b->w + gap && b->x < a->x + a->w + gap && a->y < b->y + b->h + gap &&
           b->y < a->y + a->h + gap;
}

/* Whether the box comes within `gap` of a net's line. */
static bool meets_net(const bp_schematic *s, size_t net, const bp_box *box, double gap) {
    const int(*corner)[2];
    size_t n = bp_router_path(s->router, net, &corner);
    for (size_t k = 0; k + 1 < n; k++) {
        bp_box line = {fmin(corner[k][0], corner[k + 1][0]), fmin(corner[k][1], corner[k + 1][1]),
                       abs(corner[k + 1][0] - corner[k][0]), abs(corner[k + 1][1] - corner[k][1])};
        if (boxes_meet(box, &line, gap))
            return true;
    }
    return false;
}

bool bp_schematic_is_beside(const bp_schematic *s, size_t net, bp_box box, double gap) {
    for (size_t i = 0; i < s->plan.n_nets; i++)
        if (i != net && meets_net(s, i, &box, gap))
            return true;
    return false;
}

bool bp_boxes_leave(const bp_boxes *boxes, const bp_box *box, double gap) {
    for (size_t i = 0; i < boxes->n; i++)
        if (boxes_meet(box, &boxes->box[i], gap))
            return false;
    return true;
}

bool bp_schematic_is_free(const bp_schematic *s, const bp_boxes *boxes, bp_box box, double gap) {
    if (box.x < 0 || box.y < 0 || box.x + box.w > s->plan.width ||
        box.y + box.h > s->plan.height_cells)
        return false;
    if (!bp_boxes_leave(boxes, &box, gap))
        return false;
    for (size_t i = 0; i < s->plan.n_nets; i++)
        if (meets_net(s, i, &box, gap))
            return false;
    return true;
}

static double run_length(const bp_run *run) {
    return fabs(run->x2 - run->x1) + fabs(run->y2 - run->y1);
}

/* Whether another net lies on the unit edge from (x, y). */
static bool edge_is_shared(const bp_schematic *s, size_t net, double x1, double y1, double x2,
                           double y2) {
    double mx = (x1 + x2) / 2, my = (y1 + y2) / 2;
    for (size_t i = 0; i < s->plan.n_nets; i++) {
        if (i == net)
            continue;
        const int(*corner)[2];
        size_t n = bp_router_path(s->router, i, &corner);
        for (size_t k = 0; k + 1 < n; k++)
            if (fmin(corner[k][0], corner[k + 1][0]) - 0.1 < mx &&
                mx < fmax(corner[k][0], corner[k + 1][0]) + 0.1 &&
                fmin(corner[k][1], corner[k + 1][1]) - 0.1 < my &&
                my < fmax(corner[k][1], corner[k + 1][1]) + 0.1)
                return true;
    }
    return false;
}

static size_t add_run(bp_run *runs, size_t n, size_t max, bp_run run) {
    if (run_length(&run) < 0.5)
        return n;
    size_t i = n < max ? n : max - 1;
    if (n == max && run_length(&runs[i]) >= run_length(&run))
        return n;
    for (; i > 0 && run_length(&runs[i - 1]) < run_length(&run); i--)
        runs[i] = runs[i - 1];
    runs[i] = run;
    return n < max ? n + 1 : n;
}

size_t bp_schematic_runs(const bp_schematic *s, size_t net, bp_run *runs, size_t max) {
    const int(*corner)[2];
    size_t n = bp_router_path(s->router, net, &corner), n_runs = 0;
    for (size_t k = 0; k + 1 < n; k++) {
        int dx = (corner[k + 1][0] > corner[k][0]) - (corner[k + 1][0] < corner[k][0]);
        int dy = (corner[k + 1][1] > corner[k][1]) - (corner[k + 1][1] < corner[k][1]);
        int steps = abs(corner[k + 1][0] - corner[k][0]) + abs(corner[k + 1][1] - corner[k][1]);
        int begun = -1;
        for (int i = 0; i <= steps; i++) {
            double x = corner[k][0] + i * dx, y = corner[k][1] + i * dy;
            bool own = i < steps && !edge_is_shared(s, net, x, y, x + dx, y + dy);
            if (own && begun < 0)
                begun = i;
            if (!own && begun >= 0) {
                bp_run run = {corner[k][0] + begun * dx, corner[k][1] + begun * dy, x, y};
                n_runs = add_run(runs, n_runs, max, run);
                begun = -1;
            }
        }
    }
    return n_runs;
}
