/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inside of the router, shared by the route*.c files only.
 */
#ifndef BP_RENDER_ROUTE_PRIVATE_H
#define BP_RENDER_ROUTE_PRIVATE_H

#include "render/route.h"

enum { BP_EAST, BP_SOUTH, BP_WEST, BP_NORTH };

#define BP_NO_PIN ((size_t)-1)

/* Who uses an edge or a point: a wire's two pins. Wires that share it have one pin in common, which
 * then stands in both places. */
typedef struct bp_use {
    size_t pin[2];
    bool used;
} bp_use;

/* Penalty of an edge, as a search found it. */
typedef struct bp_near {
    double penalty;
    unsigned search;
} bp_near;

typedef struct bp_laid {
    bp_route_end end[2];
    int (*path)[2]; /* every grid point from end 0 to end 1 */
    size_t n_path;
    int (*corner)[2];
    size_t n_corners;
    unsigned searched, changed; /* the searches that last looked for its way, and changed it */
} bp_laid;

struct bp_router {
    int w, h;
    bool *blocked[2]; /* edges to the east, to the south */
    size_t *reserved; /* pin that a point is kept for, or BP_NO_PIN */
    bp_use *edge[2];  /* as blocked */
    bp_use *pass[2];  /* points passed level, upright */
    bool *firm;       /* points where a line bends or ends: not to be crossed */
    bp_laid *wires;
    size_t n_wires, room;
    /* the search's own */
    double *cost;
    size_t *from;
    bool *closed;
    unsigned *seen; /* search in which cost and closed of a state were last set */
    unsigned search;
    bp_near *near[2]; /* as blocked */
    struct bp_open *heap;
    size_t n_heap, heap_room;
    size_t *goal; /* 0: none; else 1 + how many points of the goal pin's trunk lead on from here */
};

static inline size_t bp_at(const bp_router *r, int x, int y) {
    return (size_t)y * (size_t)r->w + (size_t)x;
}

bool bp_use_has(const bp_use *use, size_t pin);

/* Lays out who uses what, from the paths of all wires but one. */
void bp_router_occupy(bp_router *router, size_t but);

/* The edge that a step takes: false when it leaves the grid. */
bool bp_router_step(const bp_router *r, int x, int y, int dir, size_t *edge, int *axis);

/* Finds the cheapest way of a wire with the others as they lie; false: none. */
bool bp_router_search(bp_router *router, size_t wire);

#endif
