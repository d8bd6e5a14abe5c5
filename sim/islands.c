/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/islands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/solve.h"

/* Below this a resistor holds its ends together, ohm: well under a meter's input and over any load.
 */
#define TIES_BELOW 1e6
/* Below this something can flow that a meter would show, ohm. */
#define PASSES_BELOW (BP_OPEN_OHM / 10)
/* Islands that leak into each other take a few rounds: each leaves less than a tenth. What is left
 * then is far below any display's digit. */
enum { ROUNDS = 3 };
#define LEVEL 1e-8

bool bp_islands_init(bp_islands *s, const bp_deck *deck) {
    bp_islands_clear(s);
    s->first = calloc(deck->n_nodes, sizeof *s->first);
    s->current = calloc(deck->n_nodes, sizeof *s->current);
    s->siemens = calloc(deck->n_nodes, sizeof *s->siemens);
    return s->first && s->current && s->siemens;
}

void bp_islands_clear(bp_islands *s) {
    free(s->first);
    free(s->current);
    free(s->siemens);
    *s = (bp_islands){0};
}

static size_t island_of(bp_islands *s, size_t node) {
    while (s->first[node] != node) {
        s->first[node] = s->first[s->first[node]];
        node = s->first[node];
    }
    return node;
}

/* Diodes and laws count as ties: what they pass is the solver's own business. */
static bool is_tie(const bp_element *e, const double *values, double below) {
    return e->sort == BP_EL_RESISTOR ? values[e->first_value] < below : e->sort != BP_EL_CURRENT;
}

/* Makes one of two islands. False: they are one already. */
static bool join(bp_islands *s, size_t plus, size_t minus) {
    const size_t a = island_of(s, plus), b = island_of(s, minus);
    s->first[a > b ? a : b] = a > b ? b : a;
    return a != b;
}

/* How many islands there are, that of node 0 among them. */
static size_t find(bp_islands *s, const bp_deck *deck, const double *values, double below) {
    size_t islands = deck->n_nodes;
    for (size_t i = 0; i < deck->n_nodes; i++)
        s->first[i] = i;
    for (size_t i = 0; i < deck->n_elements; i++) {
        const bp_element *e = &deck->element[i];
        if (is_tie(e, values, below))
            islands -= join(s, e->plus, e->minus);
    }
    return islands;
}

bool bp_islands_are_apart(bp_islands *s, const bp_deck *deck, const double *values, bool all_sites,
                          size_t node) {
    find(s, deck, values, PASSES_BELOW);
    for (size_t i = 0; i < deck->n_elements && all_sites; i++)
        if (deck->element[i].site)
            join(s, deck->element[i].plus, deck->element[i].minus);
    return island_of(s, node) != island_of(s, 0);
}

static void add(bp_islands *s, size_t plus, size_t minus, double siemens, double current) {
    const size_t a = island_of(s, plus), b = island_of(s, minus);
    if (a == b)
        return;
    s->current[a] += current;
    s->current[b] -= current;
    s->siemens[a] += siemens;
    s->siemens[b] += siemens;
}

static void sum(bp_islands *s, const bp_deck *deck, const double *values, bool all_sites,
                const double *volts) {
    memset(s->current, 0, deck->n_nodes * sizeof *s->current);
    memset(s->siemens, 0, deck->n_nodes * sizeof *s->siemens);
    for (size_t i = 1; i < deck->n_nodes; i++)
        add(s, i, 0, 1 / BP_SHUNT_OHM, volts[i] / BP_SHUNT_OHM);
    for (size_t i = 0; i < deck->n_elements; i++) {
        const bp_element *e = &deck->element[i];
        const double across = volts[e->plus] - volts[e->minus];
        if (e->sort == BP_EL_CURRENT)
            add(s, e->plus, e->minus, 0, values[e->first_value]);
        else if (!is_tie(e, values, TIES_BELOW)) {
            const double bank = e->site && all_sites ? 1 / deck->site_ohm : 0;
            const double siemens = 1 / values[e->first_value] + bank;
            add(s, e->plus, e->minus, siemens, across * siemens);
        }
    }
}

void bp_islands_level(bp_islands *s, const bp_deck *deck, const double *values, bool all_sites,
                      size_t tied, double *volts) {
    size_t islands = find(s, deck, values, TIES_BELOW);
    islands -= join(s, tied, 0);
    if (islands == 1)
        return;
    for (int round = 0; round < ROUNDS; round++) {
        double most = 0;
        sum(s, deck, values, all_sites, volts);
        for (size_t i = 1; i < deck->n_nodes; i++) {
            const size_t island = island_of(s, i);
            if (island == 0)
                continue;
            const double step = s->current[island] / s->siemens[island];
            volts[i] -= step;
            most = fmax(most, fabs(step));
        }
        if (most < LEVEL)
            return;
    }
}
