/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The way of the current: the widest path. Every stretch carries a current; the path whose smallest
 * current is largest is the one through the load that takes most.
 */
#include "circuits/path.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"

/* Less than this through the narrowest stretch is leakage, not a load, A. */
static const double least_amps = 1e-3;
/* Two ends of an ideal wire differ by less, V. */
static const double ideal_volts = 1e-3;

typedef struct edge {
    bp_step step;
    double amps;
} edge;

typedef struct edge_list {
    edge *edges;
    size_t n;
    bool no_memory;
} edge_list;

/* What is known of each node: current that its wires bring in (NAN: cannot be told) and how many
 * parts' pins take it. */
typedef struct node {
    double inflow;
    size_t n_pins;
} node;

static bool is_wire(const bp_part *part) { return part->kind == &bp_kind_wire; }

/* What the walk goes by. */
typedef struct solved {
    const bp_circuit *circuit;
    const double *volts;
    bp_ohms_of ohms;
} solved;

static double volts_of(const solved *s, size_t face) {
    return s->volts[bp_face_node(s->circuit, face)];
}

/* Current through a wire from its first end to its second, A; NAN for an ideal one. */
static double wire_amps(const solved *s, const bp_part *wire) {
    return (volts_of(s, wire->pins[0].harness) - volts_of(s, wire->pins[1].harness)) /
           s->ohms(wire);
}

static node *gather_nodes(const solved *s) {
    const bp_circuit *circuit = s->circuit;
    node *nodes = bp_zeroed(circuit->n_nodes, sizeof *nodes);
    if (!nodes)
        return NULL;
    for (size_t p = 0; p < circuit->n_parts; p++) {
        const bp_part *part = &circuit->parts[p];
        for (size_t i = 0; i < part->n_pins; i++) {
            node *at = &nodes[bp_face_node(circuit, part->pins[i].harness)];
            if (is_wire(part))
                at->inflow += (i == 0 ? -1 : 1) * wire_amps(s, part);
            else
                at->n_pins++;
        }
    }
    return nodes;
}

/* Current into a part through one of its pins, A; NAN when it cannot be told. */
static double pin_amps(const bp_circuit *circuit, const node *nodes, const bp_pin *pin) {
    const node *at = &nodes[bp_face_node(circuit, pin->harness)];
    return at->n_pins == 1 ? at->inflow : NAN;
}

static void add_edge(edge_list *list, size_t part, size_t from, size_t to, bool joint,
                     double amps) {
    edge *grown = bp_room(list->edges, list->n, sizeof *grown);
    if (!grown) {
        list->no_memory = true;
        return;
    }
    list->edges = grown;
    grown[list->n++] = (edge){{part, from, to, joint, 0}, amps};
}

static void add_wire(edge_list *list, const solved *s, const bp_part *wire) {
    double amps = wire_amps(s, wire);
    size_t a = wire->pins[0].harness, b = wire->pins[1].harness;
    if (!isnan(amps)) {
        add_edge(list, wire->index, amps > 0 ? a : b, amps > 0 ? b : a, false, fabs(amps));
    } else if (fabs(volts_of(s, a) - volts_of(s, b)) < ideal_volts) {
        add_edge(list, wire->index, a, b, false, INFINITY);
        add_edge(list, wire->index, b, a, false, INFINITY);
    }
}

static void add_joint(edge_list *list, const solved *s, const node *nodes, const bp_part *part,
                      const bp_pin *pin) {
    if (bp_face_node(s->circuit, pin->harness) == bp_face_node(s->circuit, pin->own))
        return;
    double amps = pin_amps(s->circuit, nodes, pin);
    bool inward = isnan(amps) ? volts_of(s, pin->harness) >= volts_of(s, pin->own) : amps > 0;
    add_edge(list, part->index, inward ? pin->harness : pin->own, inward ? pin->own : pin->harness,
             true, isnan(amps) ? INFINITY : fabs(amps));
}

static int setting_in(const bp_circuit *circuit, size_t state, size_t part) {
    const bp_state *s = &circuit->states[state];
    for (size_t i = 0; i < s->n_settings; i++)
        if (s->settings[i].part == part)
            return s->settings[i].setting;
    return 0;
}

/* Twin cavities of a connector: "a3" and "b3". */
static bool are_twins(const bp_pin *p, const bp_pin *q) {
    return p->name[0] != q->name[0] && strcmp(p->name + 1, q->name + 1) == 0;
}

static bool are_joined(const bp_position *position, size_t p, size_t q) {
    for (size_t i = 0; i < position->n_pairs; i++)
        if ((position->pairs[i][0] == p && position->pairs[i][1] == q) ||
            (position->pairs[i][0] == q && position->pairs[i][1] == p))
            return true;
    return false;
}

/* May current pass inside the part between two pins? `sure`: it does, whatever the currents outside
 * say. */
static bool may_pass(const bp_circuit *circuit, const bp_part *part, size_t p, size_t q,
                     size_t state, bool *sure) {
    *sure = true;
    if (part->kind == &bp_kind_connector)
        return are_twins(&part->pins[p], &part->pins[q]);
    if (part->n_positions > 0) {
        int setting = setting_in(circuit, state, part->index);
        return are_joined(&part->positions[setting], p, q);
    }
    *sure = part->n_pins == 2;
    return true;
}

/* The same, or what the part's other pins take in together goes out here: a housing that is bolted
 * on without a wire of its own. */
static double balanced_amps(const bp_circuit *circuit, const node *nodes, const bp_part *part,
                            size_t pin) {
    const double amps = pin_amps(circuit, nodes, &part->pins[pin]);
    double others = 0;
    for (size_t i = 0; isnan(amps) && i < part->n_pins; i++)
        if (i != pin)
            others += pin_amps(circuit, nodes, &part->pins[i]);
    return isnan(amps) ? -others : amps;
}

static void add_inside(edge_list *list, const solved *s, const node *nodes, const bp_part *part,
                       size_t state) {
    const bp_circuit *circuit = s->circuit;
    for (size_t p = 0; p < part->n_pins; p++)
        for (size_t q = 0; q < part->n_pins; q++) {
            size_t from = part->pins[p].own, to = part->pins[q].own;
            bool sure = false;
            if (bp_face_node(circuit, from) == bp_face_node(circuit, to) ||
                volts_of(s, from) < volts_of(s, to) || !may_pass(circuit, part, p, q, state, &sure))
                continue;
            double in = balanced_amps(circuit, nodes, part, p);
            double out = -balanced_amps(circuit, nodes, part, q);
            if ((isnan(in) || isnan(out)) && !sure)
                continue;
            double amps = fmin(isnan(in) ? INFINITY : in, isnan(out) ? INFINITY : out);
            if (amps > 0)
                add_edge(list, part->index, from, to, false, amps);
        }
}

static void gather_edges(edge_list *list, const solved *s, const node *nodes, size_t state) {
    const bp_circuit *circuit = s->circuit;
    for (size_t p = 0; p < circuit->n_parts && !list->no_memory; p++) {
        const bp_part *part = &circuit->parts[p];
        if (is_wire(part)) {
            add_wire(list, s, part);
            continue;
        }
        for (size_t i = 0; i < part->n_pins; i++)
            add_joint(list, s, nodes, part, &part->pins[i]);
        if (p != circuit->faces[circuit->feed].part) /* inside the supply it flows from - to + */
            add_inside(list, s, nodes, part, state);
    }
}

/* The nodes reached so far: the best narrowest current to each, and the edge that it came by. */
typedef struct reach {
    double amps;
    size_t by;
    bool settled;
} reach;

static size_t widest_open(const reach *reached, size_t n) {
    size_t best = BP_NONE;
    for (size_t i = 0; i < n; i++)
        if (!reached[i].settled && reached[i].amps > 0 &&
            (best == BP_NONE || reached[i].amps > reached[best].amps))
            best = i;
    return best;
}

/* Widest paths from `start` to every node. */
static void spread(const bp_circuit *circuit, const edge_list *list, size_t start, reach *reached) {
    reached[start] = (reach){INFINITY, BP_NONE, false};
    for (;;) {
        size_t at = widest_open(reached, circuit->n_nodes);
        if (at == BP_NONE)
            return;
        reached[at].settled = true;
        for (size_t e = 0; e < list->n; e++) {
            const edge *x = &list->edges[e];
            size_t to = bp_face_node(circuit, x->step.to);
            double amps = fmin(reached[at].amps, x->amps);
            if (bp_face_node(circuit, x->step.from) == at && !reached[to].settled &&
                amps > reached[to].amps) {
                reached[to].amps = amps;
                reached[to].by = e;
            }
        }
    }
}

static bp_status collect(const solved *s, const edge_list *list, const reach *reached, size_t end,
                         bp_path *path) {
    const bp_circuit *circuit = s->circuit;
    if (!(reached[end].amps >= least_amps) || reached[end].by == BP_NONE)
        return BP_OK;
    size_t n = 0;
    for (size_t at = end; reached[at].by != BP_NONE;
         at = bp_face_node(circuit, list->edges[reached[at].by].step.from))
        n++;
    path->steps = bp_zeroed(n, sizeof *path->steps);
    if (!path->steps)
        return BP_ERR_MEMORY;
    path->n = n;
    path->amps = reached[end].amps;
    for (size_t at = end; reached[at].by != BP_NONE;
         at = bp_face_node(circuit, path->steps[n].from)) {
        bp_step *step = &path->steps[--n];
        *step = list->edges[reached[at].by].step;
        step->volts = volts_of(s, step->from) - volts_of(s, step->to);
    }
    return BP_OK;
}

/* The supply's posts: the one that the current leaves from, and the other one, which it comes back
 * to. Between a post and its clamp is a joint like any other. */
static size_t leaving_node(const bp_circuit *circuit) {
    const bp_face *feed = &circuit->faces[circuit->feed];
    return bp_face_node(circuit, circuit->parts[feed->part].pins[feed->pin].own);
}

static size_t returning_node(const bp_circuit *circuit) {
    const bp_face *feed = &circuit->faces[circuit->feed];
    return bp_face_node(circuit, circuit->parts[feed->part].pins[feed->pin == 0 ? 1 : 0].own);
}

bp_status bp_path_find(const bp_circuit *circuit, const double *volts, bp_ohms_of ohms,
                       size_t state, bp_path *path) {
    const solved s = {circuit, volts, ohms};
    *path = (bp_path){0};
    if (circuit->feed == BP_NONE)
        return BP_OK;
    node *nodes = gather_nodes(&s);
    reach *reached = bp_zeroed(circuit->n_nodes, sizeof *reached);
    edge_list list = {0};
    bp_status status = nodes && reached ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK) {
        gather_edges(&list, &s, nodes, state);
        for (size_t i = 0; i < circuit->n_nodes; i++)
            reached[i].by = BP_NONE;
        status = list.no_memory ? BP_ERR_MEMORY : BP_OK;
    }
    if (status == BP_OK) {
        spread(circuit, &list, leaving_node(circuit), reached);
        status = collect(&s, &list, reached, returning_node(circuit), path);
    }
    free(list.edges);
    free(reached);
    free(nodes);
    return status;
}

void bp_path_clear(bp_path *path) {
    free(path->steps);
    *path = (bp_path){0};
}

double bp_path_feed_amps(const bp_circuit *circuit, const double *volts, bp_ohms_of ohms) {
    const solved s = {circuit, volts, ohms};
    if (circuit->feed == BP_NONE)
        return NAN;
    size_t feed = bp_face_node(circuit, circuit->feed);
    double amps = 0;
    for (size_t p = 0; p < circuit->n_parts; p++) {
        const bp_part *part = &circuit->parts[p];
        if (!is_wire(part))
            continue;
        if (bp_face_node(circuit, part->pins[0].harness) == feed)
            amps += wire_amps(&s, part);
        if (bp_face_node(circuit, part->pins[1].harness) == feed)
            amps -= wire_amps(&s, part);
    }
    return amps;
}
