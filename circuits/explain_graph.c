/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/explain_graph.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"

/* The plain way is told before one through a contact, that before one through a resistor. */
static const double costs[] = {
    [BP_BRANCH_NONE] = 1,   [BP_BRANCH_LOAD] = BP_COST_LOAD, [BP_BRANCH_DROPS] = 12,
    [BP_BRANCH_GUARDS] = 2, [BP_BRANCH_SWITCHED] = 4,        [BP_BRANCH_ONE_WAY] = 2,
    [BP_BRANCH_SIGNAL] = 0, [BP_BRANCH_SIGNAL_SOURCE] = 0};

static void add(bp_graph *g, size_t part, const size_t node[2], const size_t pin[2],
                bp_branch_sort sort, const char *when) {
    bp_edge *room = node[0] == node[1] ? NULL : bp_room(g->edges, g->n, sizeof *room);
    if (!room) {
        g->no_memory = g->no_memory || node[0] != node[1];
        return;
    }
    g->edges = room;
    bp_edge *e = &room[g->n++];
    *e = (bp_edge){.part = part, .sort = sort, .cost = costs[sort]};
    memcpy(e->node, node, sizeof e->node);
    memcpy(e->pin, pin, sizeof e->pin);
    snprintf(e->when, sizeof e->when, "%s", when ? when : "");
}

static size_t own(const bp_part *part, size_t pin) {
    return bp_face_node(part->circuit, part->pins[pin].own);
}

static size_t harness(const bp_part *part, size_t pin) {
    return bp_face_node(part->circuit, part->pins[pin].harness);
}

static void add_inside(bp_graph *g, const bp_part *part, size_t a, size_t b, bp_branch_sort sort,
                       const char *when) {
    add(g, part->index, (const size_t[]){own(part, a), own(part, b)}, (const size_t[]){a, b}, sort,
        when);
}

static bool joins(const bp_position *position, size_t a, size_t b) {
    for (size_t i = 0; i < position->n_pairs; i++)
        if ((position->pairs[i][0] == a && position->pairs[i][1] == b) ||
            (position->pairs[i][0] == b && position->pairs[i][1] == a))
            return true;
    return false;
}

/* "while low or high": the positions in which two pins are joined. */
static void add_positions(bp_graph *g, const bp_part *part) {
    for (size_t a = 0; a < part->n_pins; a++)
        for (size_t b = a + 1; b < part->n_pins; b++) {
            char when[96] = "";
            size_t at = 0;
            for (size_t i = 0; i < part->n_positions; i++)
                if (joins(&part->positions[i], a, b) && at < sizeof when)
                    at += (size_t)snprintf(&when[at], sizeof when - at, "%s%s",
                                           at ? " or " : "while ", part->positions[i].name);
            if (at > 0)
                add_inside(g, part, a, b, BP_BRANCH_SWITCHED, when);
        }
}

static void add_ways(bp_graph *g, const bp_part *part) {
    const bp_kind *kind = part->kind;
    if (kind == &bp_kind_connector)
        for (size_t i = 0; i < part->n_pins / 2; i++)
            add_inside(g, part, i, part->n_pins / 2 + i, BP_BRANCH_NONE, NULL);
    else if (part->n_positions > 0)
        add_positions(g, part);
    else if (kind->ways)
        for (const bp_branch *w = kind->ways; w->sort != BP_BRANCH_NONE; w++) {
            if (w->sort == BP_BRANCH_SPARK_SOURCE)
                g->spark_of[own(part, w->from)] = part->index;
            else if (w->sort == BP_BRANCH_SIGNAL_SOURCE)
                g->signal_of[own(part, w->from)] = part->index;
            else if (w->sort != BP_BRANCH_SIGNAL)
                add_inside(g, part, w->from, w->to, w->sort,
                           w->sort == BP_BRANCH_SWITCHED ? w->words : NULL);
        }
    else if (part->n_pins == 2)
        add_inside(g, part, 0, 1, BP_BRANCH_LOAD, NULL);
}

static void add_part(bp_graph *g, const bp_part *part) {
    if (part->kind == &bp_kind_wire) {
        add(g, part->index, (const size_t[]){harness(part, 0), harness(part, 1)},
            (const size_t[]){0, 1}, BP_BRANCH_NONE, NULL);
        return;
    }
    for (size_t i = 0; i < part->n_pins; i++)
        add(g, part->index, (const size_t[]){harness(part, i), own(part, i)},
            (const size_t[]){i, i}, BP_BRANCH_NONE, NULL);
    if (part->index != g->circuit->faces[g->circuit->feed].part)
        add_ways(g, part);
}

/* All that hangs on a node by plain joints and wires, and, for +, by fuses. NULL: no memory. */
static bool *joined_with(const bp_graph *g, size_t start, bool fuses) {
    bool *joined = bp_zeroed(g->circuit->n_nodes, sizeof *joined);
    if (!joined)
        return NULL;
    joined[start] = true;
    for (bool grown = true; grown;) {
        grown = false;
        for (size_t i = 0; i < g->n; i++) {
            const bp_edge *e = &g->edges[i];
            if (e->sort != BP_BRANCH_NONE && !(fuses && e->sort == BP_BRANCH_GUARDS))
                continue;
            if (joined[e->node[0]] != joined[e->node[1]])
                joined[e->node[0]] = joined[e->node[1]] = grown = true;
        }
    }
    return joined;
}

bp_status bp_graph_build(bp_graph *g, const bp_circuit *circuit) {
    *g = (bp_graph){.circuit = circuit};
    const bp_face *feed = &circuit->faces[circuit->feed];
    const bp_part *battery = &circuit->parts[feed->part];
    g->plus = own(battery, feed->pin);
    g->minus = own(battery, feed->pin == 0 ? 1 : 0);
    g->spark_of = malloc((circuit->n_nodes + 1) * sizeof *g->spark_of);
    g->signal_of = malloc((circuit->n_nodes + 1) * sizeof *g->signal_of);
    g->no_memory = !g->spark_of || !g->signal_of;
    for (size_t i = 0; !g->no_memory && i < circuit->n_nodes; i++)
        g->spark_of[i] = g->signal_of[i] = BP_NONE;
    for (size_t i = 0; i < circuit->n_parts && !g->no_memory; i++)
        add_part(g, &circuit->parts[i]);
    if (circuit->ideal_bond)
        add(g, feed->part, (const size_t[]){circuit->body, g->minus}, (const size_t[]){0, 0},
            BP_BRANCH_NONE, NULL);
    g->live = joined_with(g, g->plus, true);
    g->bonded = joined_with(g, g->minus, false);
    return g->no_memory || !g->live || !g->bonded ? BP_ERR_MEMORY : BP_OK;
}

void bp_graph_clear(bp_graph *graph) {
    free(graph->edges);
    free(graph->spark_of);
    free(graph->signal_of);
    free(graph->live);
    free(graph->bonded);
    *graph = (bp_graph){0};
}

typedef struct reach {
    double cost;
    size_t by; /* edge */
    bool done;
} reach;

/* Is a contact of the same part on the way here, in another position? */
static bool contradicts(const bp_graph *g, const reach *reached, size_t at, size_t from,
                        const bp_edge *next) {
    if (next->sort != BP_BRANCH_SWITCHED)
        return false;
    while (at != from) {
        const bp_edge *e = &g->edges[reached[at].by];
        if (e->part == next->part && e->sort == BP_BRANCH_SWITCHED &&
            strcmp(e->when, next->when) != 0)
            return true;
        at = e->node[e->node[0] == at];
    }
    return false;
}

static void relax(const bp_graph *g, size_t at, size_t from, bp_goal goal, reach *reached) {
    const bool *closed = goal == BP_GOAL_GROUND ? g->live : g->bonded;
    for (size_t i = 0; i < g->n; i++) {
        const bp_edge *e = &g->edges[i];
        const bool forward = e->node[0] == at;
        if (e->barred || (!forward && e->node[1] != at) ||
            (e->sort == BP_BRANCH_ONE_WAY && forward == (goal != BP_GOAL_GROUND)))
            continue;
        const size_t to = e->node[forward];
        const double cost = reached[at].cost + e->cost;
        if (!closed[to] && !reached[to].done && cost < reached[to].cost &&
            !contradicts(g, reached, at, from, e)) {
            reached[to].cost = cost;
            reached[to].by = i;
        }
    }
}

static double trace(const bp_graph *g, const reach *reached, size_t from, size_t end, size_t *path,
                    size_t *n) {
    *n = 0;
    if (!(reached[end].cost < INFINITY))
        return INFINITY;
    for (size_t at = end; at != from;) {
        const bp_edge *e = &g->edges[reached[at].by];
        path[(*n)++] = reached[at].by;
        at = e->node[e->node[0] == at];
    }
    for (size_t i = 0; i < *n / 2; i++) {
        const size_t kept = path[i];
        path[i] = path[*n - 1 - i];
        path[*n - 1 - i] = kept;
    }
    return reached[end].cost;
}

static bool is_there(const bp_graph *g, size_t node, bp_goal goal) {
    switch (goal) {
    case BP_GOAL_SPARK:
        return g->spark_of[node] != BP_NONE;
    case BP_GOAL_SIGNAL:
        return g->signal_of[node] != BP_NONE;
    case BP_GOAL_FEED:
        return node == g->plus;
    case BP_GOAL_GROUND:
        break;
    }
    return node == g->minus;
}

double bp_graph_search(const bp_graph *g, size_t from, bp_goal goal, size_t *path, size_t *n) {
    const size_t n_nodes = g->circuit->n_nodes;
    size_t end = BP_NONE;
    reach *reached = malloc((n_nodes + 1) * sizeof *reached);
    *n = 0;
    if (!reached)
        return INFINITY;
    for (size_t i = 0; i < n_nodes; i++)
        reached[i] = (reach){INFINITY, 0, false};
    reached[from].cost = 0;
    while (end == BP_NONE) {
        size_t at = BP_NONE;
        for (size_t i = 0; i < n_nodes; i++)
            if (!reached[i].done && reached[i].cost < INFINITY &&
                (at == BP_NONE || reached[i].cost < reached[at].cost))
                at = i;
        if (at == BP_NONE)
            break;
        if (is_there(g, at, goal))
            end = at;
        reached[at].done = true;
        relax(g, at, from, goal, reached);
    }
    const double cost = end == BP_NONE ? INFINITY : trace(g, reached, from, end, path, n);
    free(reached);
    return cost;
}
