/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inside of the schematic, shared by the schematic*.c files only. Lengths are cells of the plan
 * unless said.
 */
#ifndef BP_RENDER_SCHEMATIC_PRIVATE_H
#define BP_RENDER_SCHEMATIC_PRIVATE_H

#include "render/place.h"
#include "render/route.h"
#include "render/schematic.h"

/* What is written beside a wire, once. */
typedef struct bp_wire_label {
    bp_box box; /* w = 0: there was no room */
    int lines;  /* 1, or 2: the id over colour and size */
} bp_wire_label;

struct bp_schematic {
    bp_plan plan;
    bp_router *router;     /* wire i of it is net i of the plan */
    bp_wire_label *labels; /* by net */
    size_t lost;           /* wires that found no way */
    size_t unlabelled;     /* wires that no place for their label was found for */
    bool us_units;         /* wires in AWG */
    double shrink;         /* below 1 only when even the smallest scale was too large */
    double unit;           /* points of a cell on the page */
    double w, h;           /* points */
};

/* Routes all nets of the plan; false when memory is out. */
bool bp_schematic_route(bp_schematic *s);
/* Finds a place for every wire's label; false when memory is out. */
bool bp_schematic_label(bp_schematic *s);

/* Boxes that nothing else may cover: bodies, names, tags, labels, rails. */
typedef struct bp_boxes {
    bp_box *box;
    size_t n, room;
    bool failed;
} bp_boxes;
void bp_boxes_add(bp_boxes *boxes, bp_box box);
void bp_boxes_free(bp_boxes *boxes);
/* All that the plan has placed; bodies of splices are left out when for_routes. */
void bp_schematic_boxes(const bp_schematic *s, bp_boxes *boxes, bool for_routes);
/* Whether a wire other than `net` comes within `gap` of the box. */
bool bp_schematic_is_beside(const bp_schematic *s, size_t net, bp_box box, double gap);
/* Whether a box keeps `gap` from all boxes. */
bool bp_boxes_leave(const bp_boxes *boxes, const bp_box *box, double gap);
/* Whether a box lies inside the drawing and keeps `gap` from all boxes and all wires. */
bool bp_schematic_is_free(const bp_schematic *s, const bp_boxes *boxes, bp_box box, double gap);

/* "W7", "GN 1.5 mm²" */
void bp_wire_words(const bp_schematic *s, const bp_part *wire, char *id, size_t id_size, char *spec,
                   size_t spec_size);

/* A run of a wire that it shares with no other: from a to b, straight. */
typedef struct bp_run {
    double x1, y1, x2, y2;
} bp_run;
/* The runs of a net, longest first; returns how many (at most max). */
size_t bp_schematic_runs(const bp_schematic *s, size_t net, bp_run *runs, size_t max);

/* The faults of a case, marked where they are. */
void bp_schematic_draw_faults(const bp_schematic *s, bp_canvas *canvas,
                              const bp_fault_case *faults);

#endif
