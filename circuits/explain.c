/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/explain.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/explain_graph.h"
#include "circuits/memory.h"

/* The search for one load at a time. */
typedef struct finder {
    bp_graph graph;
    size_t *path; /* edges of the search at hand */
    bp_explanation *out;
    bool no_memory;
} finder;

static bool is_told(const bp_edge *e, const bp_part *part) {
    return e->sort != BP_BRANCH_NONE ||
           (e->pin[0] != e->pin[1] && part->kind == &bp_kind_connector) ||
           part->kind == &bp_kind_ground;
}

/* The path's edges as stops in the direction of the current: a feed is searched against it. */
static bool keep_route(finder *f, const size_t *path, size_t n, size_t from, bool feed,
                       bp_route *route) {
    const bp_graph *g = &f->graph;
    *route = (bp_route){.stops = bp_zeroed(n, sizeof *route->stops)};
    if (!route->stops)
        return false;
    size_t at = from;
    for (size_t i = 0; i < n; i++) {
        const bp_edge *e = &g->edges[path[i]];
        const bool forward = e->node[0] == at;
        at = e->node[forward];
        if (!is_told(e, &g->circuit->parts[e->part]))
            continue;
        bp_stop *stop = &route->stops[route->n++];
        *stop = (bp_stop){.part = e->part, .sort = e->sort};
        stop->from = e->pin[forward == feed];
        stop->to = e->pin[forward != feed];
        memcpy(stop->when, e->when, sizeof stop->when);
    }
    for (size_t i = 0; feed && i < route->n / 2; i++) {
        const bp_stop kept = route->stops[i];
        route->stops[i] = route->stops[route->n - 1 - i];
        route->stops[route->n - 1 - i] = kept;
    }
    return true;
}

static bool same_route(const bp_route *a, const bp_route *b) {
    if (a->n != b->n)
        return false;
    for (size_t i = 0; i < a->n; i++)
        if (a->stops[i].part != b->stops[i].part || a->stops[i].from != b->stops[i].from ||
            a->stops[i].to != b->stops[i].to)
            return false;
    return true;
}

/* Keeps the route that was just searched unless it is there already. */
static void add_route(finder *f, size_t n, size_t from, bool feed, bp_route *routes,
                      size_t *count) {
    bp_route route = {0};
    f->no_memory = f->no_memory || !keep_route(f, f->path, n, from, feed, &route);
    bool known = f->no_memory || *count == BP_MOST_ROUTES;
    for (size_t i = 0; i < *count; i++)
        known = known || same_route(&routes[i], &route);
    if (known)
        free(route.stops);
    else
        routes[(*count)++] = route;
}

static bool passes_part(const bp_graph *g, const size_t *path, size_t n, size_t part) {
    for (size_t i = 0; i < n; i++)
        if (g->edges[path[i]].part == part && g->edges[path[i]].sort != BP_BRANCH_NONE)
            return true;
    return false;
}

/* Does the way lead over a contact that throws between two others? */
static bool throws_over(const bp_graph *g, const size_t *path, size_t n) {
    for (size_t i = 0; i < n; i++) {
        const bp_edge *e = &g->edges[path[i]];
        for (size_t k = 0; e->sort == BP_BRANCH_SWITCHED && k < g->n; k++) {
            const bp_edge *other = &g->edges[k];
            if (other != e && other->part == e->part && other->sort == BP_BRANCH_SWITCHED &&
                (other->pin[0] == e->pin[0] || other->pin[1] == e->pin[1]))
                return true;
        }
    }
    return false;
}

/* The shortest route, and those that are left when one of its contacts is the other way. */
static void find_routes(finder *f, size_t node, bool feed, bp_route *routes, size_t *count) {
    bp_graph *g = &f->graph;
    size_t n, more;
    if (!(bp_graph_search(g, node, feed, f->path, &n) < INFINITY))
        return;
    add_route(f, n, node, feed, routes, count);
    size_t *first = bp_zeroed(n, sizeof *first);
    f->no_memory = f->no_memory || !first;
    if (first)
        memcpy(first, f->path, n * sizeof *first);
    for (size_t i = 0; first && i < n; i++) {
        bp_edge *e = &g->edges[first[i]];
        if (e->sort != BP_BRANCH_SWITCHED)
            continue;
        e->barred = true;
        const double cost = bp_graph_search(g, node, feed, f->path, &more);
        e->barred = false;
        /* Through another load only where a contact throws over to it. */
        if (cost < BP_COST_LOAD || (cost < 2 * BP_COST_LOAD && throws_over(g, f->path, more)))
            add_route(f, more, node, feed, routes, count);
    }
    free(first);
}

static double cost_of(finder *f, size_t node, bool feed) {
    size_t n;
    return bp_graph_search(&f->graph, node, feed, f->path, &n);
}

/* Does a route of a resistor lead through the part itself again? */
static bool comes_back(finder *f, size_t node, bool feed, size_t part) {
    size_t n;
    bp_graph_search(&f->graph, node, feed, f->path, &n);
    return passes_part(&f->graph, f->path, n, part);
}

static void bar(finder *f, size_t part, const size_t pin[2], bool barred) {
    for (size_t i = 0; i < f->graph.n; i++) {
        bp_edge *e = &f->graph.edges[i];
        if (e->part == part && e->sort != BP_BRANCH_NONE &&
            ((e->pin[0] == pin[0] && e->pin[1] == pin[1]) ||
             (e->pin[0] == pin[1] && e->pin[1] == pin[0])))
            e->barred = barred;
    }
}

static size_t node_of(const bp_part *part, size_t pin) {
    return bp_face_node(part->circuit, part->pins[pin].own);
}

static bp_explained *add_item(finder *f, const bp_part *part, const bp_branch *way, size_t fed) {
    bp_explained *room = bp_room(f->out->item, f->out->n, sizeof *room);
    if (!room) {
        f->no_memory = true;
        return NULL;
    }
    f->out->item = room;
    bp_explained *e = &room[f->out->n++];
    *e = (bp_explained){.part = part->index,
                        .pin = {fed ? way->to : way->from, fed ? way->from : way->to},
                        .words = way->words,
                        .source = BP_NONE,
                        .listens = way->sort == BP_BRANCH_SIGNAL};
    return e;
}

static void add_load(finder *f, const bp_part *part, const bp_branch *way, size_t fed,
                     bool either) {
    bp_explained *e = add_item(f, part, way, fed);
    if (!e)
        return;
    e->either_way = either;
    find_routes(f, node_of(part, e->pin[0]), true, e->feed, &e->n_feeds);
    find_routes(f, node_of(part, e->pin[1]), false, e->ground, &e->n_grounds);
}

/* Which end is fed, and does this way count as a load at all? */
static void try_load(finder *f, const bp_part *part, const bp_branch *way) {
    double feed[2], ground[2];
    for (size_t i = 0; i < 2; i++) {
        feed[i] = cost_of(f, node_of(part, i ? way->to : way->from), true);
        ground[i] = cost_of(f, node_of(part, i ? way->to : way->from), false);
    }
    const size_t fed = feed[1] + ground[0] < feed[0] + ground[1];
    const bool direct = feed[fed] < BP_COST_LOAD && ground[!fed] < BP_COST_LOAD;
    if (way->sort == BP_BRANCH_DROPS &&
        (!direct || comes_back(f, node_of(part, fed ? way->to : way->from), true, part->index) ||
         comes_back(f, node_of(part, fed ? way->from : way->to), false, part->index)))
        return;
    const size_t far = node_of(part, fed ? way->from : way->to);
    const bool either = direct && feed[!fed] < BP_COST_LOAD && ground[fed] < BP_COST_LOAD &&
                        !comes_back(f, far, true, part->index);
    add_load(f, part, way, fed, either);
    if (either)
        add_load(f, part, way, !fed, either);
}

/* Past no load to what the goal asks for: the node where it is, and the path. */
static bool find_source(finder *f, size_t node, bp_goal goal, size_t *at, size_t *n) {
    if (!(bp_graph_search(&f->graph, node, goal, f->path, n) < BP_COST_LOAD))
        return false;
    *at = node;
    for (size_t i = 0; i < *n; i++) {
        const bp_edge *e = &f->graph.edges[f->path[i]];
        *at = e->node[e->node[0] == *at];
    }
    return true;
}

/* The sensor that an input reads, and where the sensor's other end goes. */
static bool add_sensor(finder *f, const bp_part *part, const bp_branch *way) {
    const size_t node = node_of(part, way->from);
    size_t n, at;
    if (!find_source(f, node, BP_GOAL_SIGNAL, &at, &n))
        return false;
    bp_explained *e = add_item(f, part, way, 0);
    if (!e)
        return false;
    e->source = f->graph.signal_of[at];
    add_route(f, n, node, true, e->feed, &e->n_feeds);
    const bp_part *sensor = &part->circuit->parts[e->source];
    for (const bp_branch *w = sensor->kind->ways; w->sort != BP_BRANCH_NONE; w++)
        if (w->sort == BP_BRANCH_SIGNAL_SOURCE && node_of(sensor, w->from) == at &&
            w->to != w->from)
            find_routes(f, node_of(sensor, w->to), false, e->ground, &e->n_grounds);
    return true;
}

/* What an input may be joined to, past no load. */
static void add_input(finder *f, const bp_part *part, const bp_branch *way) {
    if (add_sensor(f, part, way))
        return;
    bp_explained *e = add_item(f, part, way, 0);
    const size_t node = node_of(part, way->from);
    if (e && cost_of(f, node, true) < BP_COST_LOAD)
        find_routes(f, node, true, e->feed, &e->n_feeds);
    if (e && cost_of(f, node, false) < BP_COST_LOAD)
        find_routes(f, node, false, e->ground, &e->n_grounds);
}

/* Where the plug's spark comes from: over leads and gaps, past no other plug. */
static void add_spark(finder *f, const bp_part *part, const bp_branch *way) {
    const size_t node = node_of(part, way->from);
    size_t n, at;
    if (!find_source(f, node, BP_GOAL_SPARK, &at, &n))
        return;
    bp_explained *e = add_item(f, part, way, 0);
    if (!e)
        return;
    e->source = f->graph.spark_of[at];
    add_route(f, n, node, true, e->feed, &e->n_feeds);
    find_routes(f, node_of(part, way->to), false, e->ground, &e->n_grounds);
}

static bool is_wired(const bp_part *part, size_t pin) {
    const bp_pin *p = &part->pins[pin];
    return p->n_wires > 0 || part->circuit->faces[p->own].part != part->index || !p->optional;
}

static void explain_way(finder *f, const bp_part *part, const bp_branch *way) {
    const size_t pin[2] = {way->from, way->to};
    if (!is_wired(part, way->from) || !is_wired(part, way->to))
        return;
    bar(f, part->index, pin, true);
    if (way->sort == BP_BRANCH_SIGNAL)
        add_input(f, part, way);
    else if (way->sort == BP_BRANCH_SPARK)
        add_spark(f, part, way);
    else if (way->sort == BP_BRANCH_LOAD || way->sort == BP_BRANCH_DROPS)
        try_load(f, part, way);
    bar(f, part->index, pin, false);
}

static void explain_part(finder *f, const bp_part *part) {
    static const bp_branch load = {BP_BRANCH_LOAD, 0, 1, NULL};
    if (part->kind->ways)
        for (const bp_branch *w = part->kind->ways; w->sort != BP_BRANCH_NONE && !f->no_memory; w++)
            explain_way(f, part, w);
    else if (!part->kind->passive && part->n_positions == 0 && part->n_pins == 2)
        explain_way(f, part, &load);
}

bp_status bp_explain(const bp_circuit *circuit, bp_explanation *explanation) {
    *explanation = (bp_explanation){0};
    if (circuit->feed == BP_NONE)
        return BP_OK;
    finder f = {.out = explanation};
    f.no_memory = bp_graph_build(&f.graph, circuit) != BP_OK;
    f.path = bp_zeroed(f.graph.n + 1, sizeof *f.path);
    f.no_memory = f.no_memory || !f.path;
    for (size_t i = 0; i < circuit->n_parts && !f.no_memory; i++)
        explain_part(&f, &circuit->parts[i]);
    free(f.path);
    bp_graph_clear(&f.graph);
    return f.no_memory ? BP_ERR_MEMORY : BP_OK;
}

void bp_explanation_clear(bp_explanation *explanation) {
    for (size_t i = 0; i < explanation->n; i++)
        for (size_t k = 0; k < BP_MOST_ROUTES; k++) {
            free(explanation->item[i].feed[k].stops);
            free(explanation->item[i].ground[k].stops);
        }
    free(explanation->item);
    *explanation = (bp_explanation){0};
}

size_t bp_explained_guard(const bp_explained *e) {
    size_t guard = BP_NONE;
    for (size_t i = 0; e->n_feeds > 0 && i < e->feed[0].n; i++)
        if (e->feed[0].stops[i].sort == BP_BRANCH_GUARDS)
            guard = e->feed[0].stops[i].part;
    return guard;
}

bool bp_stop_switches(const bp_stop *stop) { return stop->sort == BP_BRANCH_SWITCHED; }
