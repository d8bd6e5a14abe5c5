/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "render/route_private.h"

enum { PASSES = 3 };

bp_router *bp_router_new(int w, int h) {
    bp_router *r = calloc(1, sizeof *r);
    if (!r || w < 1 || h < 1) {
        free(r);
        return NULL;
    }
    r->w = w;
    r->h = h;
    size_t n = (size_t)w * (size_t)h;
    for (int axis = 0; axis < 2; axis++) {
        r->blocked[axis] = calloc(n, sizeof *r->blocked[axis]);
        r->edge[axis] = calloc(n, sizeof *r->edge[axis]);
        r->pass[axis] = calloc(n, sizeof *r->pass[axis]);
        r->near[axis] = calloc(n, sizeof *r->near[axis]);
    }
    r->reserved = calloc(n, sizeof *r->reserved);
    r->firm = calloc(n, sizeof *r->firm);
    r->goal = calloc(n, sizeof *r->goal);
    r->cost = calloc(n * 8, sizeof *r->cost);
    r->from = calloc(n * 8, sizeof *r->from);
    r->closed = calloc(n * 8, sizeof *r->closed);
    r->seen = calloc(n * 8, sizeof *r->seen);
    if (!r->near[0] || !r->near[1] || !r->blocked[0] || !r->blocked[1] || !r->edge[0] ||
        !r->edge[1] || !r->pass[0] || !r->pass[1] || !r->reserved || !r->firm || !r->goal ||
        !r->cost || !r->from || !r->closed || !r->seen)
        bp_router_free(&r);
    for (size_t i = 0; r && i < n; i++)
        r->reserved[i] = BP_NO_PIN;
    return r;
}

void bp_router_free(bp_router **router) {
    bp_router *r = *router;
    if (!r)
        return;
    for (int axis = 0; axis < 2; axis++) {
        free(r->blocked[axis]);
        free(r->edge[axis]);
        free(r->pass[axis]);
        free(r->near[axis]);
    }
    for (size_t i = 0; i < r->n_wires; i++) {
        free(r->wires[i].path);
        free(r->wires[i].corner);
    }
    free(r->wires);
    free(r->reserved);
    free(r->firm);
    free(r->goal);
    free(r->cost);
    free(r->from);
    free(r->closed);
    free(r->seen);
    free(r->heap);
    free(r);
    *router = NULL;
}

/* Keeps a pin's stub, or a rail, for its own wires. */
static void reserve(bp_router *r, const bp_route_end *end) {
    static const int dx[] = {
        [BP_TOP] = 0, [BP_BOTTOM] = 0, [BP_LEFT_SIDE] = -1, [BP_RIGHT_SIDE] = 1};
    static const int dy[] = {
        [BP_TOP] = -1, [BP_BOTTOM] = 1, [BP_LEFT_SIDE] = 0, [BP_RIGHT_SIDE] = 0};
    int n = end->rail ? end->x2 - end->x : end->stub;
    for (int i = 0; i <= n; i++) {
        int x = end->rail ? end->x + i : end->x + i * dx[end->side];
        int y = end->rail ? end->y : end->y + i * dy[end->side];
        if (x >= 0 && y >= 0 && x < r->w && y < r->h)
            r->reserved[bp_at(r, x, y)] = end->pin;
    }
}

bool bp_router_add(bp_router *r, const bp_route_end end[2]) {
    if (r->n_wires == r->room) {
        size_t room = r->room * 2 + 16;
        bp_laid *grown = realloc(r->wires, room * sizeof *grown);
        if (!grown)
            return false;
        r->wires = grown;
        r->room = room;
    }
    bp_laid *wire = &r->wires[r->n_wires++];
    memset(wire, 0, sizeof *wire);
    for (int i = 0; i < 2; i++) {
        wire->end[i] = end[i];
        reserve(r, &end[i]);
    }
    return true;
}

/* Straight wires first, then the short ones. */
static int difficulty(const bp_laid *wire) {
    const bp_route_end *a = &wire->end[0], *b = &wire->end[1];
    if (a->rail || b->rail)
        return abs(a->y - b->y);
    int across = abs(a->x - b->x);
    return across + abs(a->y - b->y) + (across ? 1000 : 0);
}

static void sort_wires(const bp_router *r, size_t *order) {
    for (size_t i = 0; i < r->n_wires; i++) {
        size_t k = i;
        for (; k > 0 && difficulty(&r->wires[order[k - 1]]) > difficulty(&r->wires[i]); k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
}

static bool keep_corners(bp_laid *wire) {
    free(wire->corner);
    wire->corner = calloc(wire->n_path + 1, sizeof *wire->corner);
    wire->n_corners = 0;
    if (!wire->corner)
        return false;
    for (size_t i = 0; i < wire->n_path; i++) {
        bool end = i == 0 || i + 1 == wire->n_path;
        bool bend = !end && (wire->path[i - 1][0] != wire->path[i + 1][0]) &&
                    (wire->path[i - 1][1] != wire->path[i + 1][1]);
        if (end || bend)
            memcpy(wire->corner[wire->n_corners++], wire->path[i], sizeof wire->path[i]);
    }
    return true;
}

/* Whether a wire would be laid as it is: no other has changed since its last search. */
static bool is_settled(const bp_router *r, size_t wire) {
    const bp_laid *own = &r->wires[wire];
    for (size_t i = 0; i < r->n_wires; i++)
        if (i != wire && r->wires[i].changed > own->searched)
            return false;
    return own->searched > 0;
}

size_t bp_router_run(bp_router *r) {
    size_t *order = calloc(r->n_wires + 1, sizeof *order), lost = 0;
    if (!order)
        return (size_t)-1;
    sort_wires(r, order);
    for (int pass = 0; pass < PASSES; pass++)
        for (size_t i = 0; i < r->n_wires; i++) {
            if (is_settled(r, order[i]))
                continue;
            bp_router_occupy(r, order[i]);
            bp_router_search(r, order[i]);
        }
    for (size_t i = 0; i < r->n_wires; i++) {
        lost += r->wires[i].n_path == 0;
        if (!keep_corners(&r->wires[i]))
            lost = (size_t)-1;
        if (lost == (size_t)-1)
            break;
    }
    free(order);
    return lost;
}

size_t bp_router_path(const bp_router *r, size_t wire, const int (**corners)[2]) {
    *corners = (const int(*)[2])r->wires[wire].corner;
    return r->wires[wire].n_corners;
}

/* Directions in which a wire leaves one of its points. */
static int arms(const bp_laid *wire, size_t i) {
    int mask = 0;
    for (int way = -1; way <= 1; way += 2) {
        if ((way < 0 && i == 0) || (way > 0 && i + 1 >= wire->n_path))
            continue;
        const int *next = wire->path[way < 0 ? i - 1 : i + 1];
        int dx = next[0] - wire->path[i][0], dy = next[1] - wire->path[i][1];
        mask |= dx > 0 ? 1 : dy > 0 ? 2 : dx < 0 ? 4 : 8;
    }
    return mask;
}

static bool share_pin(const bp_laid *a, const bp_laid *b) {
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 2; k++)
            if (a->end[i].pin == b->end[k].pin && !a->end[i].rail)
                return true;
    return false;
}

static size_t note_joint(int (*xy)[2], size_t n, size_t max, const int *p) {
    for (size_t i = 0; i < n; i++)
        if (xy[i][0] == p[0] && xy[i][1] == p[1])
            return n;
    if (n < max)
        memcpy(xy[n++], p, sizeof xy[0]);
    return n;
}

size_t bp_router_joints(const bp_router *r, int (*xy)[2], size_t max) {
    size_t n = 0;
    for (size_t a = 0; a < r->n_wires; a++)
        for (size_t b = a + 1; b < r->n_wires; b++) {
            if (!share_pin(&r->wires[a], &r->wires[b]))
                continue;
            for (size_t i = 0; i < r->wires[a].n_path; i++)
                for (size_t k = 0; k < r->wires[b].n_path; k++) {
                    const int *p = r->wires[a].path[i], *q = r->wires[b].path[k];
                    if (p[0] != q[0] || p[1] != q[1])
                        continue;
                    int mask = arms(&r->wires[a], i) | arms(&r->wires[b], k);
                    if (__builtin_popcount((unsigned)mask) >= 3)
                        n = note_joint(xy, n, max, p);
                }
        }
    return n;
}

size_t bp_router_crossings(const bp_router *r) {
    size_t n = 0;
    for (size_t a = 0; a < r->n_wires; a++)
        for (size_t b = a + 1; b < r->n_wires; b++) {
            if (share_pin(&r->wires[a], &r->wires[b]))
                continue;
            for (size_t i = 0; i < r->wires[a].n_path; i++)
                for (size_t k = 0; k < r->wires[b].n_path; k++)
                    n += r->wires[a].path[i][0] == r->wires[b].path[k][0] &&
                         r->wires[a].path[i][1] == r->wires[b].path[k][1];
        }
    return n;
}
