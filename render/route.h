/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A grid router. Wires run along the lines of a grid of whole cells, around obstacles, and cost
 * their length, their bends, the wires that they cross and those that they run close beside; each
 * takes the cheapest way (A*), and all are taken up and laid again until that changes nothing.
 *
 * Wires that end on one pin may share its first cells; where they part there is a joint. Others
 * never touch: they cross at right angles or stay apart.
 */
#ifndef BP_RENDER_ROUTE_H
#define BP_RENDER_ROUTE_H

#include <stdbool.h>
#include <stddef.h>

#include "render/symbol.h"

/* Where a wire ends. */
typedef struct bp_route_end {
    int x, y;
    bp_side side; /* which way it leaves */
    int stub;     /* cells that it runs straight out; 0: it may leave to any side */
    size_t pin;   /* ends with one number are one pin */
    bool rail;    /* anywhere on the rail: y is the rail's, from x to x2 */
    int x2;
} bp_route_end;

typedef struct bp_router bp_router;

/* A grid of w by h cells; NULL when memory is out. */
bp_router *bp_router_new(int w, int h);
void bp_router_free(bp_router **router);

/* No wire passes here; cells, any fraction. */
void bp_router_block(bp_router *router, bp_box box);

/* A wire to lay; they are numbered from 0. false when memory is out. */
bool bp_router_add(bp_router *router, const bp_route_end end[2]);

/* Lays all; returns how many found no way, or (size_t)-1 when memory is out. */
size_t bp_router_run(bp_router *router);

/* The corners of a wire from end to end, n of them; n = 0: it found no way. */
size_t bp_router_path(const bp_router *router, size_t wire, const int (**corners)[2]);

/* Joints: points where three lines or more of one pin meet. Written to xy (room for max); returns
 * how many there are. */
size_t bp_router_joints(const bp_router *router, int (*xy)[2], size_t max);

/* How often wires cross, and how often they bend. */
size_t bp_router_crossings(const bp_router *router);

#endif
