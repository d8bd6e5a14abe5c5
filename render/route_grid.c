/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What lies where on the grid.
 */
#include <math.h>

#include "render/route_private.h"

/* Wires keep this far from obstacles, cells. */
#define MARGIN 0.3

bool bp_use_has(const bp_use *use, size_t pin) {
    return use->used && (use->pin[0] == pin || use->pin[1] == pin);
}

static void take(bp_use *use, const bp_laid *wire) {
    size_t a = wire->end[0].pin, b = wire->end[1].pin;
    if (!use->used) {
        *use = (bp_use){{a, b}, true};
        return;
    }
    size_t common = bp_use_has(use, a) ? a : bp_use_has(use, b) ? b : BP_NO_PIN;
    if (common != BP_NO_PIN && !(bp_use_has(use, a) && bp_use_has(use, b)))
        use->pin[0] = use->pin[1] = common;
}

static void occupy_path(bp_router *r, const bp_laid *wire) {
    for (size_t i = 0; i < wire->n_path; i++) {
        size_t at = bp_at(r, wire->path[i][0], wire->path[i][1]);
        bool level[2] = {false, false}; /* before, after */
        bool has[2] = {i > 0, i + 1 < wire->n_path};
        if (has[0])
            level[0] = wire->path[i - 1][1] == wire->path[i][1];
        if (has[1]) {
            level[1] = wire->path[i + 1][1] == wire->path[i][1];
            int x = wire->path[i][0], y = wire->path[i][1];
            int nx = wire->path[i + 1][0], ny = wire->path[i + 1][1];
            size_t edge = bp_at(r, nx < x ? nx : x, ny < y ? ny : y);
            take(&r->edge[level[1] ? 0 : 1][edge], wire);
        }
        for (int way = 0; way < 2; way++)
            if (has[way])
                take(&r->pass[level[way] ? 0 : 1][at], wire);
        if (!has[0] || !has[1] || level[0] != level[1])
            r->firm[at] = true;
    }
}

static void release_path(bp_router *r, const bp_laid *wire) {
    for (size_t i = 0; i < wire->n_path; i++) {
        size_t at = bp_at(r, wire->path[i][0], wire->path[i][1]), edge = at;
        if (i + 1 < wire->n_path) {
            const int *p = wire->path[i], *next = wire->path[i + 1];
            edge = bp_at(r, next[0] < p[0] ? next[0] : p[0], next[1] < p[1] ? next[1] : p[1]);
        }
        for (int axis = 0; axis < 2; axis++) {
            r->edge[axis][edge].used = false;
            r->pass[axis][at].used = false;
        }
        r->firm[at] = false;
    }
}

void bp_router_occupy(bp_router *r, size_t but) {
    /* Only the wire that was left out the last time can lie otherwise since. */
    for (size_t i = 0; i < r->n_wires; i++)
        release_path(r, &r->wires[i]);
    for (size_t i = 0; i < r->n_wires; i++)
        if (i != but)
            occupy_path(r, &r->wires[i]);
}

static int clamp(double value, int low, int high) {
    return value < low ? low : value > high ? high : (int)value;
}

void bp_router_block(bp_router *r, bp_box box) {
    double x1 = box.x - MARGIN, x2 = box.x + box.w + MARGIN;
    double y1 = box.y - MARGIN, y2 = box.y + box.h + MARGIN;
    for (int y = clamp(floor(y1) - 1, 0, r->h - 1); y <= clamp(ceil(y2), 0, r->h - 1); y++)
        for (int x = clamp(floor(x1) - 1, 0, r->w - 1); x <= clamp(ceil(x2), 0, r->w - 1); x++) {
            if (y > y1 && y < y2 && x + 1 > x1 && x < x2)
                r->blocked[0][bp_at(r, x, y)] = true;
            if (x > x1 && x < x2 && y + 1 > y1 && y < y2)
                r->blocked[1][bp_at(r, x, y)] = true;
        }
}

bool bp_router_step(const bp_router *r, int x, int y, int dir, size_t *edge, int *axis) {
    static const int dx[] = {1, 0, -1, 0}, dy[] = {0, 1, 0, -1};
    int nx = x + dx[dir], ny = y + dy[dir];
    if (nx < 0 || ny < 0 || nx >= r->w || ny >= r->h)
        return false;
    *axis = dir % 2;
    *edge = bp_at(r, nx < x ? nx : x, ny < y ? ny : y);
    return true;
}
