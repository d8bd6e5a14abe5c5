/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The search for one wire (A*). A state is a point, the direction of arrival and whether the way so
 * far lies on wires of the same pin; those may be followed from the pin on, but not joined later.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "render/route_private.h"

#define BEND 4.0
#define CROSSING 10.0
#define BESIDE 0.9  /* a cell close beside another wire */
#define NEARBY 0.2  /* a cell two cells from another wire */
#define HUGGING 0.2 /* a cell close beside an obstacle */
#define SHARED 0.25 /* a cell on a wire of the same pin, near the pin */
#define SHARED_FAR 1.6
#define DOT 5.0 /* a cell away from a splice's dot before the wires part */
enum { NEAR_PIN = 5, TRUNK = 7 };

typedef struct bp_open {
    double total;
    size_t state;
} bp_open;

typedef struct bp_hunt {
    bp_router *r;
    size_t wire;
    const bp_route_end *start, *goal;
    int sx, sy, gx, gy; /* where the free part begins and ends */
} bp_hunt;

static const int step_x[] = {1, 0, -1, 0}, step_y[] = {0, 1, 0, -1};

static int outward(bp_side side) {
    static const int dir[] = {[BP_TOP] = BP_NORTH,
                              [BP_BOTTOM] = BP_SOUTH,
                              [BP_LEFT_SIDE] = BP_WEST,
                              [BP_RIGHT_SIDE] = BP_EAST};
    return dir[side];
}

static size_t state_of(const bp_router *r, int x, int y, int dir, bool shared) {
    return (bp_at(r, x, y) * 4 + (size_t)dir) * 2 + shared;
}

/* What an earlier search left at a state is void. */
static void visit(bp_router *r, size_t state) {
    if (r->seen[state] == r->search)
        return;
    r->seen[state] = r->search;
    r->cost[state] = 1e18;
    r->closed[state] = false;
}

static bool push(bp_router *r, double total, size_t state) {
    if (r->n_heap == r->heap_room) {
        size_t room = r->heap_room * 2 + 256;
        bp_open *grown = realloc(r->heap, room * sizeof *grown);
        if (!grown)
            return false;
        r->heap = grown;
        r->heap_room = room;
    }
    size_t i = r->n_heap++;
    while (i > 0 && r->heap[(i - 1) / 2].total > total) {
        r->heap[i] = r->heap[(i - 1) / 2];
        i = (i - 1) / 2;
    }
    r->heap[i] = (bp_open){total, state};
    return true;
}

static bp_open pop(bp_router *r) {
    bp_open top = r->heap[0], last = r->heap[--r->n_heap];
    size_t i = 0;
    for (;;) {
        size_t child = 2 * i + 1;
        if (child >= r->n_heap)
            break;
        if (child + 1 < r->n_heap && r->heap[child + 1].total < r->heap[child].total)
            child++;
        if (r->heap[child].total >= last.total)
            break;
        r->heap[i] = r->heap[child];
        i = child;
    }
    if (r->n_heap > 0)
        r->heap[i] = last;
    return top;
}

static double ahead(const bp_hunt *h, int x, int y) {
    if (h->goal->rail)
        return abs(y - h->gy);
    double away = abs(x - h->gx) + abs(y - h->gy) - TRUNK;
    return away > 0 ? away : 0;
}

/* Penalty for running close beside other lines or obstacles; found once an edge and search. */
static double closeness(bp_router *r, int x, int y, int axis, size_t edge) {
    bp_near *near = &r->near[axis][edge];
    if (near->search == r->search)
        return near->penalty;
    double penalty = 0;
    size_t stride = axis == 0 ? (size_t)r->w : 1;
    int across = axis == 0 ? y : x, limit = (axis == 0 ? r->h : r->w) - 1;
    for (int away = 1; away <= 2; away++)
        for (int way = -1; way <= 1; way += 2) {
            if (across + way * away < 0 || across + way * away > limit)
                continue;
            size_t beside = way < 0 ? edge - stride * (size_t)away : edge + stride * (size_t)away;
            if (r->edge[axis][beside].used)
                penalty += away == 1 ? BESIDE : NEARBY;
            else if (away == 1 && r->blocked[axis][beside])
                penalty += HUGGING;
        }
    *near = (bp_near){penalty, r->search};
    return penalty;
}

/* Whether a step may enter the point at all, and what crossing costs. */
static bool may_enter(const bp_hunt *h, size_t at, int axis, bool on_trunk, double *cost) {
    const bp_router *r = h->r;
    size_t own = h->start->pin, other = h->goal->pin;
    /* A pin's stub is entered at its end only, so that nothing cuts in between a ring and its pin.
     */
    if (r->reserved[at] != BP_NO_PIN && !r->goal[at])
        return false;
    if (on_trunk || r->goal[at])
        return true;
    const bp_use *along = &r->pass[axis][at], *across = &r->pass[!axis][at];
    if (r->firm[at] || along->used)
        return false;
    if (!across->used)
        return true;
    if (bp_use_has(across, own) || bp_use_has(across, other))
        return false; /* it would look like a joint */
    *cost += CROSSING;
    return true;
}

/* What following a wire of the same pin costs; at a splice the wires part at its dot. */
static double trunk_cost(const bp_hunt *h, int x, int y) {
    if (h->start->stub == 0)
        return DOT;
    return abs(x - h->sx) + abs(y - h->sy) > NEAR_PIN ? SHARED_FAR : SHARED;
}

static bool foreign(const bp_use *use, const bp_hunt *h) {
    return use->used && !bp_use_has(use, h->start->pin);
}

static bool expand(bp_hunt *h, size_t state) {
    bp_router *r = h->r;
    bool shared = state % 2;
    int dir = (int)(state / 2 % 4);
    size_t at = state / 8;
    int x = (int)(at % (size_t)r->w), y = (int)(at / (size_t)r->w);
    bool crossing =
        !(x == h->sx && y == h->sy) && (foreign(&r->pass[0][at], h) || foreign(&r->pass[1][at], h));
    bool free_start = h->start->stub == 0 && x == h->sx && y == h->sy;
    for (int next = 0; next < 4; next++) {
        if (!free_start && (next == (dir + 2) % 4 || (crossing && next != dir)))
            continue;
        size_t edge;
        int axis;
        if (!bp_router_step(r, x, y, next, &edge, &axis) || r->blocked[axis][edge])
            continue;
        int nx = x + step_x[next], ny = y + step_y[next];
        size_t to = bp_at(r, nx, ny);
        const bp_use *use = &r->edge[axis][edge];
        bool on_trunk = shared && bp_use_has(use, h->start->pin);
        if (use->used && !on_trunk)
            continue;
        /* A step costs 1 at least: what that cannot better needs no closer look. */
        size_t ahead_state = state_of(r, nx, ny, next, on_trunk);
        visit(r, ahead_state);
        if (r->closed[ahead_state] || r->cost[state] + 1 >= r->cost[ahead_state])
            continue;
        double cost = 1 + (on_trunk ? trunk_cost(h, nx, ny) : closeness(r, x, y, axis, edge));
        if (!free_start && next != dir)
            cost += BEND;
        if (!may_enter(h, to, axis, on_trunk, &cost))
            continue;
        if (r->goal[to] > 1)
            cost += (h->goal->stub == 0 ? DOT : 2.0) * (double)(r->goal[to] - 1);
        double total = r->cost[state] + cost;
        if (total >= r->cost[ahead_state])
            continue;
        r->cost[ahead_state] = total;
        r->from[ahead_state] = state;
        if (!push(r, total + ahead(h, nx, ny), ahead_state))
            return false;
    }
    return true;
}

/* Every point from which the goal pin is reached along its own wires, or its rail. */
static void mark_goals(bp_hunt *h) {
    bp_router *r = h->r;
    memset(r->goal, 0, (size_t)r->w * (size_t)r->h * sizeof *r->goal);
    if (h->goal->rail) {
        for (int x = h->goal->x; x <= h->goal->x2 && x < r->w; x++)
            if (x >= 0)
                r->goal[bp_at(r, x, h->goal->y)] = 1;
        return;
    }
    for (size_t i = 0; i < r->n_wires; i++)
        for (int end = 0; end < 2; end++) {
            const bp_laid *wire = &r->wires[i];
            if (i == h->wire || wire->end[end].pin != h->goal->pin || wire->n_path == 0)
                continue;
            size_t first = (size_t)h->goal->stub;
            for (size_t k = first + 1; k + 2 < wire->n_path && k < first + TRUNK; k++) {
                const int *p = wire->path[end ? wire->n_path - 1 - k : k];
                size_t at = bp_at(r, p[0], p[1]);
                bool alone = (!r->pass[0][at].used || bp_use_has(&r->pass[0][at], h->goal->pin)) &&
                             (!r->pass[1][at].used || bp_use_has(&r->pass[1][at], h->goal->pin));
                if (!alone)
                    break;
                if (!r->goal[at] && r->reserved[at] == BP_NO_PIN)
                    r->goal[at] = 1 + k - first;
            }
        }
    r->goal[bp_at(r, h->gx, h->gy)] = 1;
}

/* Points of the goal pin's trunk from a joint on it back to the pin's stub. */
static size_t follow_trunk(const bp_hunt *h, int x, int y, int (*out)[2]) {
    const bp_router *r = h->r;
    if (h->goal->rail || (x == h->gx && y == h->gy))
        return 0;
    for (size_t i = 0; i < r->n_wires; i++)
        for (int end = 0; end < 2; end++) {
            const bp_laid *wire = &r->wires[i];
            if (i == h->wire || wire->end[end].pin != h->goal->pin || wire->n_path == 0)
                continue;
            size_t first = (size_t)h->goal->stub;
            for (size_t k = first + 1; k + 2 < wire->n_path && k < first + TRUNK; k++) {
                const int *p = wire->path[end ? wire->n_path - 1 - k : k];
                if (p[0] != x || p[1] != y)
                    continue;
                size_t n = 0;
                for (size_t back = k; back-- > first; n++)
                    memcpy(out[n], wire->path[end ? wire->n_path - 1 - back : back], sizeof out[n]);
                return n;
            }
        }
    return 0;
}

/* From the search's trail and both stubs to the wire's whole path. */
static bool keep_path(bp_hunt *h, bp_laid *wire, size_t last, bool backwards) {
    bp_router *r = h->r;
    size_t n = 1;
    for (size_t s = last; r->from[s] != s; s = r->from[s])
        n++;
    size_t room = n + (size_t)h->start->stub + (size_t)h->goal->stub + TRUNK + 4, m = 0;
    int(*path)[2] = calloc(room, sizeof *path);
    if (!path)
        return false;
    int out = outward(h->start->side);
    for (int i = 0; i < h->start->stub; i++, m++) {
        path[m][0] = h->start->x + i * step_x[out];
        path[m][1] = h->start->y + i * step_y[out];
    }
    size_t s = last;
    for (size_t i = n; i-- > 0; s = r->from[s]) {
        path[m + i][0] = (int)(s / 8 % (size_t)r->w);
        path[m + i][1] = (int)(s / 8 / (size_t)r->w);
    }
    m += n;
    m += follow_trunk(h, path[m - 1][0], path[m - 1][1], path + m);
    if (!h->goal->rail) {
        int in = outward(h->goal->side);
        for (int i = h->goal->stub - 1; i >= 0; i--, m++) {
            path[m][0] = h->goal->x + i * step_x[in];
            path[m][1] = h->goal->y + i * step_y[in];
        }
    }
    for (size_t i = 0; backwards && i < m / 2; i++)
        for (int c = 0; c < 2; c++) {
            int swap = path[i][c];
            path[i][c] = path[m - 1 - i][c];
            path[m - 1 - i][c] = swap;
        }
    if (m != wire->n_path || memcmp(path, wire->path, m * sizeof *path) != 0)
        wire->changed = r->search;
    free(wire->path);
    wire->path = path;
    wire->n_path = m;
    return true;
}

static size_t wires_on(const bp_router *r, size_t pin) {
    size_t n = 0;
    for (size_t i = 0; i < r->n_wires; i++)
        n += r->wires[i].n_path > 0 &&
             (r->wires[i].end[0].pin == pin || r->wires[i].end[1].pin == pin);
    return n;
}

bool bp_router_search(bp_router *r, size_t index) {
    bp_laid *wire = &r->wires[index];
    bool backwards = wire->end[0].rail || (!wire->end[1].rail && wires_on(r, wire->end[1].pin) >
                                                                     wires_on(r, wire->end[0].pin));
    bp_hunt h = {
        .r = r, .wire = index, .start = &wire->end[backwards], .goal = &wire->end[!backwards]};
    int out = outward(h.start->side), in = outward(h.goal->side);
    h.sx = h.start->x + h.start->stub * step_x[out];
    h.sy = h.start->y + h.start->stub * step_y[out];
    h.gx = h.goal->rail ? h.goal->x : h.goal->x + h.goal->stub * step_x[in];
    h.gy = h.goal->rail ? h.goal->y : h.goal->y + h.goal->stub * step_y[in];
    if (h.sx < 0 || h.sy < 0 || h.sx >= r->w || h.sy >= r->h || h.gx < 0 || h.gy < 0 ||
        h.gx >= r->w || h.gy >= r->h)
        return false;
    r->search++;
    wire->searched = r->search;
    mark_goals(&h);
    r->n_heap = 0;
    size_t first = state_of(r, h.sx, h.sy, out, true);
    visit(r, first);
    r->cost[first] = 0;
    r->from[first] = first;
    if (!push(r, 0, first))
        return false;
    while (r->n_heap > 0) {
        bp_open open = pop(r);
        if (r->closed[open.state])
            continue;
        r->closed[open.state] = true;
        if (r->goal[open.state / 8])
            return keep_path(&h, wire, open.state, backwards);
        if (!expand(&h, open.state))
            return false;
    }
    return false;
}
