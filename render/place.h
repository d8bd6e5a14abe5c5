/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where everything of a schematic stands. Placement is layered: parts are ranked along the current
 * from feed to ground, ordered within a rank so that few wires cross, and lined up in columns so
 * that most wires run straight down. Every part is placed together with its name and the tags of
 * its points, so that these never collide; wires are routed afterwards.
 *
 * A file's `layout` counts in the drawing's own columns and rows: `at: [2, 3]` is the second
 * column, third row. Parts that it does not name find their place among the others.
 *
 * All lengths are cells; a cell is BP_CELL * scale points.
 */
#ifndef BP_RENDER_PLACE_H
#define BP_RENDER_PLACE_H

#include "render/schematic.h"
#include "render/tags.h"

/* The rails at the top and the bottom stand for a block. */
#define BP_RAIL_TOP ((size_t)-2)
#define BP_RAIL_BOTTOM ((size_t)-3)

/* A point's flag: a ring on the wire, and a tag beside it. Relative to its block's origin. */
typedef struct bp_flag {
    size_t point, block;
    double ring_x, ring_y;
    bp_box tag;
    bool left;  /* the tag is left of its ring */
    bool quiet; /* an automatic point */
} bp_flag;

/* A part, or one piece of it, with all that is written beside it. */
typedef struct bp_block {
    size_t part;
    bp_shape shape; /* as drawn, before turning */
    int turn;       /* 0, 90 or 270 (180 is drawn the other way up instead) */
    double w, h;    /* after turning, and so are the terminals */
    bp_terminal terminal[BP_MAX_TERMINALS];
    bp_box name;         /* relative to the origin; w = 0: none */
    bp_align name_align; /* to which edge of its box */
    double left, right, above,
        below;                  /* how far it reaches from its origin, wires' stubs included */
    int stub[BP_MAX_TERMINALS]; /* how far each wire runs straight out, whole cells */
    double x, y;                /* the origin's place in the drawing */
    size_t node;
} bp_block;

typedef struct bp_end {
    size_t block; /* or a rail */
    size_t terminal;
} bp_end;

/* A wire, or (part BP_NONE) the line from a battery to its rail. */
typedef struct bp_net {
    size_t part;
    bp_end end[2];
} bp_net;

/* What is ranked and ordered: one or more blocks side by side, or (n_blocks 0) a place kept free
 * for a wire that passes. */
typedef struct bp_node {
    size_t first_block, n_blocks; /* in plan->members */
    size_t net;                   /* of a passing wire */
    int rank;                     /* from 1 */
    double left, right, above, below;
    double x;
    int group; /* sorted before order: -1 the battery's column; grounds of one metal together */
    bool column_fixed;
    double column; /* as the file's layout says */
} bp_node;

/* A piece of wire between neighbouring ranks: upper node and lower node, with the wire's column
 * relative to each. */
typedef struct bp_link {
    size_t node[2];
    double port[2];
    double weight;
} bp_link;

/* What does not depend on the scale, worked out once: which blocks are mirrored, and the order of
 * the nodes in their ranks. */
typedef struct bp_recipe {
    bool *mirror;  /* by block; NULL: not known yet */
    size_t *order; /* as in the plan; NULL: not known yet */
} bp_recipe;

/* How a drawing may be drawn; the schematic tries them in turn until one fits the page. */
typedef struct bp_plan_options {
    double scale; /* of the symbols */
    bp_tag_style tags;
    double width;    /* of the page, points; columns keep within it where they can */
    bool names_left; /* names left of the parts that have tags right of them: lower and wider */
    const bp_recipe *recipe; /* or NULL */
    const int *extra;        /* by gap: more cells, where wires or labels found no room; or NULL */
    const bool *left_out;    /* parts that are not drawn, by part; or NULL */
    bool lift;               /* rows are given up and parts moved up as far as they go */
} bp_plan_options;

typedef struct bp_plan {
    const bp_circuit *circuit;
    bp_canvas *measure;
    bp_plan_options options;
    double scale; /* as in the options */

    double *height; /* by node of the circuit: 1 at the feed, 0 at ground */
    size_t *hops;   /* by the same: parts passed on the way from the feed */

    bp_block *blocks;
    size_t n_blocks;
    bp_flag *flags;
    size_t n_flags;
    bp_net *nets;
    size_t n_nets;
    bp_node *nodes;
    size_t n_nodes;
    size_t *members; /* blocks in the order of their nodes */
    bp_link *links;
    size_t n_links;
    int n_ranks;
    size_t *order;      /* nodes sorted by rank, then place in the rank */
    size_t *rank_start; /* n_ranks + 2 entries into order; ranks from 1 */

    bool *mirror; /* by block: the order found it better mirrored from how it is now */

    size_t battery;   /* block on the feed rail, or BP_NONE */
    bool bottom_rail; /* the battery's - pin is a rail too (no grounds) */
    bool no_room;     /* lifted, the battery found no place of its own: this plan is no good */
    double width, height_cells;
    double rail_y;                   /* feed rail */
    double metal_y;                  /* where grounds stand */
    double metal_x1[2], metal_x2[2]; /* body, engine; x2 < x1: none */
} bp_plan;

/* Makes the plan; false when memory is out. bp_plan_free takes half-made ones too. */
bool bp_plan_make(bp_plan *plan, const bp_circuit *circuit, bp_canvas *measure,
                  const bp_plan_options *options);
void bp_plan_free(bp_plan *plan);

/* Steps of bp_plan_make, in order. Each returns false when memory is out. */
bool bp_plan_heights(bp_plan *plan);
bool bp_plan_blocks(bp_plan *plan);
bool bp_plan_nets(bp_plan *plan);
bool bp_plan_ranks(bp_plan *plan);
bool bp_plan_chains(bp_plan *plan);
bool bp_plan_order(bp_plan *plan);
bool bp_plan_columns(bp_plan *plan);
bool bp_plan_shift(bp_plan *plan); /* a part of bp_plan_columns */
bool bp_plan_rows(bp_plan *plan);

/* Cells between the margins of the page. */
double bp_plan_width_limit(const bp_plan *plan);

/* Least distance of two neighbours in a rank. */
double bp_plan_separation(const bp_plan *plan, size_t left, size_t right);

/* What is written beside a block: the id, then quieter lines. `look` NULL: the widest word that its
 * settings may bring. */
enum { BP_NAME_LINES = 3 };
typedef struct bp_words {
    char id[64];
    char line[BP_NAME_LINES][96];
    bp_font font[BP_NAME_LINES];
    size_t n;
} bp_words;
void bp_block_words(const bp_plan *plan, const bp_part *part, const bp_shape *shape,
                    const bp_look *look, bp_words *words);
bp_font bp_font_part(const bp_plan *plan); /* a part's id */
extern const bp_font bp_font_quieter;      /* what is written under it, and beside wires */
/* Widest that a line under a name runs before it wraps, points. */
double bp_name_width(const bp_part *part);

/* What bp_plan_blocks does for one block: tags, reach. */
void bp_block_furnish(bp_plan *plan, size_t block);

/* Points as cells of this plan. */
double bp_plan_cells(const bp_plan *plan, double points);
/* The outline around the parts of one housing, cells of the drawing. */
bp_box bp_plan_housing(const bp_plan *plan, size_t node);
/* The terminal of a part's pin; false when it is not drawn. */
bool bp_plan_find_pin(const bp_plan *plan, size_t part, size_t pin, bp_end *end);
const bp_part *bp_block_part(const bp_plan *plan, size_t block);
/* Gap that a wire at this end is in: gap r lies under rank r. */
int bp_plan_gap(const bp_plan *plan, const bp_end *end, int toward);

#endif
