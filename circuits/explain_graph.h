/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The circuit as places and what joins them.
 */
#ifndef BP_CIRCUITS_EXPLAIN_GRAPH_H
#define BP_CIRCUITS_EXPLAIN_GRAPH_H

#include "circuits/explain.h"

typedef struct bp_edge {
    size_t part;
    size_t node[2], pin[2];
    bp_branch_sort sort; /* BP_BRANCH_NONE: wire, joint, connector, metal */
    double cost;
    char when[96];
    bool barred;
} bp_edge;

/* What is looked for from a load. */
typedef enum bp_goal { BP_GOAL_GROUND, BP_GOAL_FEED, BP_GOAL_SPARK, BP_GOAL_SIGNAL } bp_goal;

typedef struct bp_graph {
    const bp_circuit *circuit;
    size_t plus, minus;  /* nodes of the battery's posts */
    size_t *spark_of;    /* by node: the coil that gives high voltage there, BP_NONE; owned */
    size_t *signal_of;   /* by node: the sensor that gives a signal there, BP_NONE; owned */
    bool *live, *bonded; /* by node: always on +, always on -, with nothing between; owned */
    bp_edge *edges;
    size_t n;
    bool no_memory;
} bp_graph;

/* A route that costs this much or more leads through another load. */
#define BP_COST_LOAD 100.0

bp_status bp_graph_build(bp_graph *graph, const bp_circuit *circuit);
void bp_graph_clear(bp_graph *graph);

/* The cheapest way from a node to a post, past all that is barred and past no part in two positions
 * at once. A feed, a spark or a signal: to +, a coil or a sensor, over nothing that is always
 * grounded, against the current; ground: to -, over nothing that is always live. Returns its cost,
 * INFINITY when there is none; *path takes its edges in order from the node, room for graph->n of
 * them. */
double bp_graph_search(const bp_graph *graph, size_t from, bp_goal goal, size_t *path, size_t *n);

#endif
