/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/build.h"

#include <stdlib.h>
#include <string.h>

#include "circuits/sets.h"
#include "sim/contact.h"
#include "sim/instrument.h"
#include "sim/leads.h"
#include "sim/model.h"
#include "sim/wave.h"

struct bp_builder {
    bp_deck *deck;
    size_t part; /* whose elements are being added, BP_NONE: nobody's */
    size_t slot; /* value of that part's slot 0 */
    bool failed; /* memory ran out: later calls do nothing */
};

size_t bp_deck_n_nodes(const bp_deck *deck) { return deck->n_nodes; }
size_t bp_deck_n_elements(const bp_deck *deck) { return deck->n_elements; }
size_t bp_deck_n_values(const bp_deck *deck) { return deck->n_values; }
const bp_element *bp_deck_element(const bp_deck *deck, size_t index) {
    return &deck->element[index];
}
const bp_element *bp_deck_element_of_value(const bp_deck *deck, size_t value) {
    return &deck->element[deck->element_of[value]];
}
size_t bp_deck_node_of_face(const bp_deck *deck, size_t face) {
    return deck->node[deck->circuit->faces[face].node];
}
size_t bp_deck_first_value(const bp_deck *deck, size_t part) { return deck->first[part]; }
size_t bp_deck_n_part_values(const bp_deck *deck, size_t part) {
    return deck->first[part + 1] - deck->first[part];
}

const bp_circuit *bp_builder_circuit(const bp_builder *b) { return b->deck->circuit; }
const bp_plan *bp_builder_plan(const bp_builder *b) { return &b->deck->plan; }
size_t bp_build_node(bp_builder *b) { return b->deck->n_nodes++; }
size_t bp_build_middle(bp_builder *b, const bp_part *part) {
    size_t *middle = &b->deck->middle[part->index];
    if (*middle == 0)
        *middle = bp_build_node(b);
    return *middle;
}
size_t bp_build_face(const bp_builder *b, size_t face) {
    return bp_deck_node_of_face(b->deck, face);
}
size_t bp_build_own(const bp_builder *b, const bp_part *part, size_t pin) {
    return bp_build_face(b, part->pins[pin].own);
}
size_t bp_build_harness(const bp_builder *b, const bp_part *part, size_t pin) {
    return bp_build_face(b, part->pins[pin].harness);
}
size_t bp_build_body(const bp_builder *b) {
    const size_t body = b->deck->circuit->body;
    return body == BP_NONE ? 0 : b->deck->node[body];
}
size_t bp_build_feed(const bp_builder *b) {
    const size_t feed = b->deck->circuit->feed;
    return feed == BP_NONE ? 0 : bp_build_face(b, feed);
}

/* Adds one element with n values; NULL when memory is out. */
static bp_element *add(bp_builder *b, bp_element_sort sort, size_t plus, size_t minus, size_t n) {
    bp_deck *d = b->deck;
    if (b->failed)
        return NULL;
    if (d->n_elements == d->room) {
        const size_t room = d->room ? 2 * d->room : 64;
        bp_element *more = realloc(d->element, room * sizeof *more);
        if (more)
            d->element = more, d->room = room;
        b->failed = !more;
    }
    size_t *owner =
        b->failed ? NULL : realloc(d->element_of, (d->n_values + n + 1) * sizeof *owner);
    if (owner)
        d->element_of = owner;
    b->failed = !owner;
    if (b->failed)
        return NULL;
    for (size_t i = 0; i < n; i++)
        d->element_of[d->n_values + i] = d->n_elements;
    if (d->plan.in_time) {
        bool *live = realloc(d->live, (d->n_values + n + 1) * sizeof *live);
        b->failed = !live;
        if (b->failed)
            return NULL;
        d->live = live;
        memset(&live[d->n_values], 0, n * sizeof *live);
    }
    bp_element *e = &d->element[d->n_elements++];
    *e = (bp_element){.sort = sort,
                      .part = b->part,
                      .plus = plus,
                      .minus = minus,
                      .first_value = d->n_values,
                      .n_values = n};
    d->n_values += n;
    return e;
}

static size_t add_one(bp_builder *b, bp_element_sort sort, size_t plus, size_t minus) {
    const size_t slot = b->deck->n_values - b->slot;
    add(b, sort, plus, minus, 1);
    return slot;
}

size_t bp_build_resistor(bp_builder *b, size_t plus, size_t minus) {
    return add_one(b, BP_EL_RESISTOR, plus, minus);
}
size_t bp_build_voltage(bp_builder *b, size_t plus, size_t minus) {
    return add_one(b, BP_EL_VOLTAGE, plus, minus);
}
size_t bp_build_current(bp_builder *b, size_t plus, size_t minus) {
    return add_one(b, BP_EL_CURRENT, plus, minus);
}

void bp_build_diode(bp_builder *b, size_t anode, size_t cathode, double is, double n) {
    bp_element *e = add(b, BP_EL_DIODE, anode, cathode, 0);
    if (e)
        e->is = is, e->n = n;
}

size_t bp_build_law(bp_builder *b, const bp_law *law, size_t plus, size_t minus,
                    const size_t (*control)[2]) {
    const size_t slot = b->deck->n_values - b->slot;
    bp_element *e = add(b, BP_EL_LAW, plus, minus, law->n_params);
    if (e) {
        e->law = law;
        if (law->n_controls) /* a law of time alone has none, and no list of them */
            memcpy(e->control, control, law->n_controls * sizeof *control);
    }
    return slot;
}

size_t bp_build_inductor(bp_builder *b, size_t plus, size_t minus) {
    return add_one(b, BP_EL_INDUCTOR, plus, minus);
}
size_t bp_build_capacitor(bp_builder *b, size_t plus, size_t minus) {
    return add_one(b, BP_EL_CAPACITOR, plus, minus);
}
size_t bp_build_coupling(bp_builder *b, size_t inductor, size_t other) {
    if (b->failed)
        return 0;
    const size_t *element_of = &b->deck->element_of[b->slot];
    return add_one(b, BP_EL_COUPLING, element_of[inductor], element_of[other]);
}

void bp_build_live(bp_builder *b, size_t slot) {
    if (!b->failed && b->deck->live)
        b->deck->live[b->slot + slot] = true;
}

size_t bp_build_site(bp_builder *b, size_t plus, size_t minus, double ohm) {
    b->deck->site_ohm = ohm;
    const size_t slot = bp_build_resistor(b, plus, minus);
    if (!b->failed)
        b->deck->element[b->deck->n_elements - 1].site = ++b->deck->n_sites;
    return slot;
}

/* Nodes that are one: ends of ideal wires, and a body without any wire to the battery with the
 * reference. */
static void join_nodes(const bp_deck *d, size_t zero, bp_sets *sets) {
    const bp_circuit *c = d->circuit;
    if (c->ideal_bond)
        bp_sets_join(sets, c->body, zero);
    for (size_t i = 0; i < c->n_parts; i++) {
        const bp_part *part = &c->parts[i];
        if (part->kind == &bp_kind_wire && bp_wire_is_ideal(part) && !bp_plan_has_wire(&d->plan, i))
            bp_sets_join(sets, c->faces[part->pins[0].harness].node,
                         c->faces[part->pins[1].harness].node);
    }
}

size_t bp_clamp_of_reference(const bp_circuit *c) {
    const bp_face *reference = &c->faces[c->reference];
    return c->parts[reference->part].pins[reference->pin].harness;
}

/* The face that is node 0: the reference. With the battery off that would leave the circuit to the
 * solver's leaks, and its copper beside them to rounding: where something bends, no step of
 * Newton's method then repeats the last one. A body that is one with the post stays on it. */
static size_t zero_face(const bp_deck *d) {
    const bp_circuit *c = d->circuit;
    return d->plan.afloat && !c->ideal_bond ? bp_clamp_of_reference(c) : c->reference;
}

size_t bp_deck_post_afloat(const bp_deck *d) {
    return d->plan.afloat ? bp_deck_node_of_face(d, d->circuit->reference) : 0;
}

/* Nodes of the circuit become deck nodes. False: no memory. */
static bool number_nodes(bp_deck *d) {
    const bp_circuit *c = d->circuit;
    const size_t face = zero_face(d), zero = face == BP_NONE ? BP_NONE : c->faces[face].node;
    bp_sets sets;
    if (!bp_sets_make(&sets, c->n_nodes))
        return false;
    join_nodes(d, zero, &sets);
    const size_t reference = zero == BP_NONE ? BP_NONE : bp_sets_of(&sets, zero);
    d->n_nodes = 1;
    for (size_t i = 0; i < c->n_nodes; i++) {
        const size_t first = bp_sets_of(&sets, i); /* the lowest one: it has its number */
        d->node[i] = first == reference ? 0 : first == i ? d->n_nodes++ : d->node[first];
    }
    bp_sets_free(&sets);
    return true;
}

static void add_contacts(bp_builder *b) {
    bp_deck *d = b->deck;
    for (size_t p = 0; p < d->circuit->n_parts; p++) {
        const bp_part *part = &d->circuit->parts[p];
        d->contact[p] = d->n_values;
        b->part = p;
        for (size_t pin = 0; pin < part->n_pins; pin++)
            if (bp_contact_exists(part, pin))
                bp_build_resistor(b, bp_build_harness(b, part, pin), bp_build_own(b, part, pin));
    }
    d->contact[d->circuit->n_parts] = d->n_values;
}

static void add_parts(bp_builder *b) {
    bp_deck *d = b->deck;
    for (size_t p = 0; p < d->circuit->n_parts; p++) {
        const bp_part *part = &d->circuit->parts[p];
        b->part = p;
        b->slot = d->first[p] = d->n_values;
        const bp_model *model = bp_models[bp_kind_index(part->kind)];
        const bool in_time = d->plan.in_time && model->wave && model->wave->elements;
        (in_time ? model->wave->elements : model->elements)(b, part);
    }
    d->first[d->circuit->n_parts] = d->n_values;
}

static void add_plan(bp_builder *b) {
    bp_deck *d = b->deck;
    b->part = BP_NONE;
    b->slot = d->first_lead = d->n_values;
    bp_leads_elements(b, &d->plan);
    b->slot = d->first_meter = d->n_values;
    if (d->plan.n_pairs)
        bp_instruments[d->plan.instrument]->elements(b, &d->plan);
    for (size_t i = 0; i < d->plan.n_probes; i++)
        bp_build_resistor(b, bp_build_face(b, d->plan.probe[i][0]),
                          bp_build_face(b, d->plan.probe[i][1]));
}

bp_deck *bp_deck_new(const bp_circuit *circuit, const bp_plan *plan) {
    bp_deck *d = calloc(1, sizeof *d);
    if (!d)
        return NULL;
    d->circuit = circuit;
    d->node = calloc(circuit->n_nodes + 1, sizeof *d->node);
    d->contact = calloc(circuit->n_parts + 1, sizeof *d->contact);
    d->first = calloc(circuit->n_parts + 1, sizeof *d->first);
    d->middle = calloc(circuit->n_parts + 1, sizeof *d->middle);
    bp_builder b = {.deck = d, .part = BP_NONE};
    b.failed = !bp_plan_copy(&d->plan, plan) || !d->node || !d->contact || !d->first || !d->middle;
    b.failed = b.failed || !number_nodes(d);
    if (!b.failed) {
        add_contacts(&b);
        add_parts(&b);
        add_plan(&b);
    }
    if (b.failed)
        bp_deck_free(&d);
    return d;
}

void bp_part_values(const bp_view *view, double *value) {
    const bp_model *model = bp_models[bp_kind_index(view->part->kind)];
    const bool in_time = view->deck->plan.in_time && model->wave && model->wave->values;
    (in_time ? model->wave->values : model->values)(view, value);
}

void bp_deck_free(bp_deck **deck) {
    if (!deck || !*deck)
        return;
    bp_deck *d = *deck;
    bp_plan_clear(&d->plan);
    free(d->node);
    free(d->element);
    free(d->element_of);
    free(d->contact);
    free(d->first);
    free(d->middle);
    free(d->live);
    free(d);
    *deck = NULL;
}
