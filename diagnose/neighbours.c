/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Points with one stretch of the circuit between them: a wire, a run of wires through connectors
 * and splices, or one part with its wires. Across those a meter measures a voltage drop.
 */
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"

typedef struct walk {
    const bp_atlas *a;
    size_t *place_at;    /* by node: the place there and one, 0: none */
    unsigned char *seen; /* by node: 1 passed through wiring only, 2 also through one part */
    size_t *queue, head, tail;
    size_t (*pair)[2];
    size_t n, from;
    bool failed;
} walk;

static void record(walk *w, size_t place) {
    if (place <= w->from) /* found from the other end */
        return;
    for (size_t i = 0; i < w->n; i++)
        if (w->pair[i][0] == w->from && w->pair[i][1] == place)
            return;
    size_t(*more)[2] = realloc(w->pair, (w->n + 1) * sizeof *more);
    if (!more) {
        w->failed = true;
        return;
    }
    w->pair = more;
    more[w->n][0] = w->from;
    more[w->n++][1] = place;
}

static void reach(walk *w, size_t node, unsigned char how) {
    const bp_circuit *c = w->a->circuit;
    if (w->seen[node] != 0 || node == bp_face_node(c, c->reference))
        return;
    w->seen[node] = how;
    if (w->place_at[node] > 0)
        record(w, w->place_at[node] - 1);
    else
        w->queue[w->tail++] = node;
}

static bool is_supply(const bp_part *part) {
    return part->kind == &bp_kind_battery || part->kind == &bp_kind_source;
}

/* Everything that hangs on a node: the other face of a pin, the other pins of the part. */
static void look_around(walk *w, size_t node, unsigned char how) {
    const bp_circuit *c = w->a->circuit;
    for (size_t p = 0; p < c->n_parts; p++) {
        const bp_part *part = &c->parts[p];
        for (size_t i = 0; i < part->n_pins; i++) {
            const size_t harness = bp_face_node(c, part->pins[i].harness);
            const size_t own = bp_face_node(c, part->pins[i].own);
            if (harness == node)
                reach(w, own, how);
            if (own != node)
                continue;
            reach(w, harness, how);
            for (size_t k = 0; k < part->n_pins && !is_supply(part); k++)
                if (part->kind->passive || how == 1)
                    reach(w, bp_face_node(c, part->pins[k].own), part->kind->passive ? how : 2);
        }
    }
}

static bool walk_from(walk *w, size_t place) {
    const bp_circuit *c = w->a->circuit;
    memset(w->seen, 0, c->n_nodes);
    w->head = w->tail = 0;
    w->from = place;
    const size_t start = bp_face_node(c, w->a->place[place].face);
    w->seen[start] = 1;
    w->queue[w->tail++] = start;
    /* Wiring first: what can be reached through it alone is one run. */
    while (w->head < w->tail && !w->failed) {
        const size_t node = w->queue[w->head++];
        look_around(w, node, w->seen[node]);
    }
    return !w->failed;
}

size_t (*bp_neighbour_places(const bp_atlas *a, size_t *n))[2] {
    const bp_circuit *c = a->circuit;
    walk w = {.a = a,
              .place_at = calloc(c->n_nodes + 1, sizeof *w.place_at),
              .seen = calloc(c->n_nodes + 1, 1),
              .queue = calloc(c->n_nodes + 1, sizeof *w.queue),
              .pair = calloc(1, sizeof *w.pair)};
    bool good = w.place_at && w.seen && w.queue && w.pair;
    for (size_t i = 0; good && i < a->n_places; i++)
        if (a->place[i].point != BP_NONE && !a->place[i].open)
            w.place_at[bp_face_node(c, a->place[i].face)] = i + 1;
    for (size_t i = 0; good && i < a->n_places; i++)
        if (a->place[i].point != BP_NONE && !a->place[i].open)
            good = walk_from(&w, i);
    free(w.place_at);
    free(w.seen);
    free(w.queue);
    if (!good) {
        free(w.pair);
        return NULL;
    }
    *n = w.n;
    return w.pair;
}
