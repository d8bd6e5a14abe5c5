/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How high each place of the circuit stands between feed and ground. As if every part were one
 * resistor and every wire none: what is near the feed comes out near 1. It decides which pin of a
 * part is drawn at the top.
 */
#include <math.h>
#include <stdlib.h>

#include "render/place.h"

enum { SWEEPS = 400 };

typedef struct bp_path {
    size_t a, b; /* roots */
} bp_path;

static size_t root(size_t *parent, size_t node) {
    while (parent[node] != node)
        node = parent[node] = parent[parent[node]];
    return node;
}

static void unite(size_t *parent, size_t a, size_t b) { parent[root(parent, a)] = root(parent, b); }

/* Wires, plugs and eyelets hold no height of their own. */
static void unite_wiring(const bp_circuit *circuit, size_t *parent) {
    for (size_t i = 0; i < circuit->n_nodes; i++)
        parent[i] = i;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        for (size_t pin = 0; pin < part->n_pins; pin++)
            unite(parent, circuit->faces[part->pins[pin].harness].node,
                  circuit->faces[part->pins[pin].own].node);
        if (part->kind == &bp_kind_wire && part->n_pins == 2)
            unite(parent, circuit->faces[part->pins[0].harness].node,
                  circuit->faces[part->pins[1].harness].node);
    }
}

static size_t collect_paths(const bp_circuit *circuit, size_t *parent, bp_path *paths) {
    size_t n = 0;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (part->kind == &bp_kind_wire)
            continue;
        size_t pairs[BP_MAX_TERMINALS][2];
        size_t n_pairs = bp_symbol_paths(part, pairs);
        for (size_t p = 0; p < n_pairs; p++) {
            paths[n].a = root(parent, circuit->faces[part->pins[pairs[p][0]].harness].node);
            paths[n++].b = root(parent, circuit->faces[part->pins[pairs[p][1]].harness].node);
        }
    }
    return n;
}

/* Each place takes the mean of its neighbours until nothing moves. */
static void relax(bp_plan *plan, const bp_path *paths, size_t n, double *sum, size_t *count,
                  const bool *fixed) {
    size_t n_nodes = plan->circuit->n_nodes;
    for (int sweep = 0; sweep < SWEEPS; sweep++) {
        for (size_t i = 0; i < n_nodes; i++) {
            sum[i] = 0;
            count[i] = 0;
        }
        for (size_t p = 0; p < n; p++) {
            sum[paths[p].a] += plan->height[paths[p].b];
            sum[paths[p].b] += plan->height[paths[p].a];
            count[paths[p].a]++;
            count[paths[p].b]++;
        }
        for (size_t i = 0; i < n_nodes; i++)
            if (!fixed[i] && count[i])
                plan->height[i] = 0.3 * plan->height[i] + 0.7 * sum[i] / (double)count[i];
    }
}

/* No way leads through ground: what lies beyond it is fed from elsewhere. */
static void count_hops(bp_plan *plan, const bp_path *paths, size_t n, size_t feed,
                       const bool *fixed) {
    size_t n_nodes = plan->circuit->n_nodes;
    for (size_t i = 0; i < n_nodes; i++)
        plan->hops[i] = n_nodes;
    plan->hops[feed] = 0;
    for (bool moved = true; moved;) {
        moved = false;
        for (size_t p = 0; p < n; p++)
            for (int way = 0; way < 2; way++) {
                size_t from = way ? paths[p].b : paths[p].a, to = way ? paths[p].a : paths[p].b;
                if ((!fixed[from] || from == feed) && plan->hops[from] + 1 < plan->hops[to]) {
                    plan->hops[to] = plan->hops[from] + 1;
                    moved = true;
                }
            }
    }
}

static void fix(bp_plan *plan, size_t *parent, bool *fixed, size_t node, double height) {
    size_t at = root(parent, node);
    if (fixed[at])
        return;
    fixed[at] = true;
    plan->height[at] = height;
}

static void spread(bp_plan *plan, size_t *parent, bool *fixed, bp_path *paths, double *sum,
                   size_t *count) {
    const bp_circuit *circuit = plan->circuit;
    unite_wiring(circuit, parent);
    size_t n = collect_paths(circuit, parent, paths);
    size_t feed = root(parent, circuit->faces[circuit->feed].node);
    for (size_t i = 0; i < circuit->n_nodes; i++)
        plan->height[i] = 0.5;
    fix(plan, parent, fixed, feed, 1);
    fix(plan, parent, fixed, circuit->faces[circuit->reference].node, 0);
    if (circuit->body != BP_NONE)
        fix(plan, parent, fixed, circuit->body, 0);
    if (circuit->engine != BP_NONE)
        fix(plan, parent, fixed, circuit->engine, 0);
    relax(plan, paths, n, sum, count, fixed);
    count_hops(plan, paths, n, feed, fixed);
    for (size_t i = 0; i < circuit->n_nodes; i++) {
        size_t at = root(parent, i);
        plan->hops[i] = plan->hops[at];
        /* Where no current passes the heights are level: then the way from the feed decides. */
        plan->height[i] = plan->height[at];
    }
}

bool bp_plan_heights(bp_plan *plan) {
    const bp_circuit *circuit = plan->circuit;
    size_t n = circuit->n_nodes + 1, n_paths = 1;
    for (size_t i = 0; i < circuit->n_parts; i++)
        n_paths += BP_MAX_TERMINALS < circuit->parts[i].n_pins * circuit->parts[i].n_pins
                       ? BP_MAX_TERMINALS
                       : circuit->parts[i].n_pins * circuit->parts[i].n_pins;
    size_t *parent = calloc(n, sizeof *parent), *count = calloc(n, sizeof *count);
    bool *fixed = calloc(n, sizeof *fixed);
    double *sum = calloc(n, sizeof *sum);
    bp_path *paths = calloc(n_paths, sizeof *paths);
    plan->height = calloc(n, sizeof *plan->height);
    plan->hops = calloc(n, sizeof *plan->hops);
    bool ok = parent && count && fixed && sum && paths && plan->height && plan->hops;
    if (ok && circuit->feed != BP_NONE && circuit->reference != BP_NONE)
        spread(plan, parent, fixed, paths, sum, count);
    free(parent);
    free(count);
    free(fixed);
    free(sum);
    free(paths);
    return ok;
}
