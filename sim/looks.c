/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/looks.h"

#include <stdlib.h>
#include <string.h>

#include "sim/model.h"

typedef struct maker {
    const bp_circuit *circuit;
    bp_store *store;
    bp_look *look;
    size_t n, room;
    unsigned instruments; /* bits: those that may be used */
    bool failed;
} maker;

/* A new look of the instrument at its usual places; the pointer holds until the next one. NULL: it
 * may not be used, or there is no memory. */
static bp_look *add(maker *m, bp_instrument instrument, size_t part) {
    if (!(m->instruments & 1u << instrument))
        return NULL;
    if (m->n == m->room) {
        const size_t room = 2 * m->room + 16;
        bp_look *more = realloc(m->look, room * sizeof *more);
        if (!more) {
            m->failed = true;
            return NULL;
        }
        m->look = more;
        m->room = room;
    }
    bp_look *look = &m->look[m->n++];
    *look = (bp_look){.question = BP_QUESTION_INIT, .part = part};
    look->question.instrument = instrument;
    return look;
}

static void do_first(bp_look *look, const char *action) {
    if (action && look->question.n_after + 1 < BP_LOOK_ACTIONS)
        look->after[look->question.n_after++] = action;
}

/* An ohmmeter and a diode test need a dead circuit: the battery is taken off. NULL: there is none,
 * and a bench source stays. */
static const char *make_dead(const maker *m) {
    const size_t feed = m->circuit->feed;
    const bp_part *part = feed == BP_NONE ? NULL : &m->circuit->parts[m->circuit->faces[feed].part];
    return part && part->kind == &bp_kind_battery
               ? bp_store_print(m->store, "disconnect %s", part->id)
               : NULL;
}

/* How a part comes out; NULL: it does not. */
static const char *take_out(const maker *m, const bp_part *part) {
    const char *verb = NULL;
    for (size_t i = 0; i < part->n_pins; i++)
        if (part->pins[i].sort == BP_PIN_PLUG)
            verb = "unplug";
        else if (part->pins[i].sort == BP_PIN_BOLTED && !verb)
            verb = "disconnect";
    return verb ? bp_store_print(m->store, "%s %s", verb, part->id) : NULL;
}

static bool is_wiring(const bp_part *part) { return part->kind->passive; }

/* Pairs of faces by name. */
typedef struct pairs {
    bp_pair *pair;
    size_t n;
} pairs;

static void put(const maker *m, pairs *to, size_t red, size_t black) {
    char name[2][160];
    if (bp_face_node(m->circuit, red) == bp_face_node(m->circuit, black))
        return;
    bp_face_name(m->circuit, red, name[0], sizeof name[0]);
    bp_face_name(m->circuit, black, name[1], sizeof name[1]);
    to->pair[to->n++] =
        (bp_pair){bp_store_copy(m->store, name[0]), bp_store_copy(m->store, name[1])};
}

/* A connector: each way, and each neighbour. A wire or ground: its two ends. Anything else: every
 * two terminals, on the part's own side, or on the wires' side where it stays connected. */
static pairs across(const maker *m, const bp_part *part, bool own, bool both_ways) {
    const size_t n = part->n_pins, ways = n / 2;
    pairs all = {bp_store_get(m->store, 2 * n * n + 2, sizeof(bp_pair)), 0};
    if (!all.pair)
        return all;
    if (n == 1)
        put(m, &all, part->pins[0].harness, part->pins[0].own);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++) {
            const bool connector = part->kind == &bp_kind_connector;
            if (connector   ? k != i + ways && (i + 1 != k || k == ways)
                : both_ways ? k == i
                            : k <= i)
                continue;
            const bp_pin *a = &part->pins[i], *b = &part->pins[k];
            put(m, &all, own ? a->own : a->harness, own ? b->own : b->harness);
        }
    return all;
}

static void use_pairs(bp_look *look, pairs at) {
    if (!look)
        return;
    look->question.pairs = at.n ? at.pair : NULL;
    look->question.n_pairs = at.n;
}

/* Volts and millivolts over it while it works; ohms and diode test over it, dead and taken out. */
static void look_at_part(maker *m, const bp_part *part, const char *dead) {
    const pairs working = across(m, part, false, false);
    const pairs out = across(m, part, !is_wiring(part), false);
    const char *taken_out = is_wiring(part) ? NULL : take_out(m, part);
    if (working.n) {
        use_pairs(add(m, BP_VOLTS, part->index), working);
        use_pairs(add(m, BP_MILLIVOLTS, part->index), working);
    }
    if (out.n == 0 || !(dead || taken_out))
        return;
    for (int i = 0; i < (is_wiring(part) ? 1 : 2); i++) { /* copper has no junction */
        bp_look *look = add(m, i ? BP_DIODE_TEST : BP_OHMS, part->index);
        if (!look)
            continue;
        do_first(look, dead);
        do_first(look, taken_out);
        use_pairs(look, i ? across(m, part, true, true) : out);
    }
}

/* Every test point to the battery's clamp that was taken off: its post is no part of the rest. */
static pairs to_clamp(const maker *m) {
    const bp_circuit *c = m->circuit;
    const bp_part *battery = &c->parts[c->faces[c->feed].part];
    pairs all = {bp_store_get(m->store, c->n_points + 1, sizeof(bp_pair)), 0};
    const char *black = bp_store_print(m->store, "%s.-", battery->id);
    for (size_t i = 0; all.pair && i < c->n_points; i++)
        all.pair[all.n++] = (bp_pair){c->points[i].id, black};
    return all;
}

/* What is asked whatever the fault is: every test point and every wire. */
static void look_around(maker *m, const char *dead) {
    static const bp_instrument everywhere[] = {BP_AMPS_CLAMP, BP_VOLTS_LOADED, BP_TEST_LAMP,
                                               BP_LED_LAMP};
    for (size_t i = 0; i < sizeof everywhere / sizeof *everywhere; i++)
        add(m, everywhere[i], BP_NONE);
    bp_look *look = dead ? add(m, BP_OHMS, BP_NONE) : NULL;
    if (look) {
        do_first(look, dead);
        use_pairs(look, to_clamp(m));
    }
    for (size_t i = 0; i < m->circuit->n_parts; i++) {
        const bp_part *part = &m->circuit->parts[i];
        if (!bp_models[bp_kind_index(part->kind)]->lasting || part->n_pins != 2)
            continue;
        look = add(m, BP_AMPS, BP_NONE);
        if (look)
            look->question.at = part->id;
    }
}

/* The state in which the engine turns slowest: it asks most of the ignition. NULL: it never turns.
 */
static const char *slowest(const bp_circuit *c) {
    const bp_state *found = NULL;
    for (size_t i = 0; i < c->n_states; i++)
        if (c->states[i].speed > 0 && (!found || c->states[i].speed < found->speed))
            found = &c->states[i];
    return found ? found->id : NULL;
}

/* The spark tester takes the place of a plug. */
static void look_at_spark(maker *m, const bp_part *plug) {
    const char *state = slowest(m->circuit);
    bp_look *look = state ? add(m, BP_SPARK, BP_NONE) : NULL;
    bp_pair *pair = bp_store_get(m->store, 1, sizeof *pair);
    char name[160];
    if (!look || !pair)
        return;
    do_first(look, take_out(m, plug));
    bp_face_name(m->circuit, plug->pins[0].harness, name, sizeof name);
    *pair = (bp_pair){bp_store_copy(m->store, name), NULL};
    look->question.state = state;
    use_pairs(look, (pairs){pair, 1});
}

bool bp_looks_make(const bp_circuit *circuit, unsigned instruments, bp_store *store,
                   bp_look **looks, size_t *n) {
    maker m = {.circuit = circuit, .store = store, .instruments = instruments};
    const char *dead = make_dead(&m);
    add(&m, BP_VOLTS, BP_NONE); /* first: what is noticed comes from it */
    for (size_t i = 0; i < circuit->n_parts; i++)
        if (circuit->parts[i].kind == &bp_kind_spark_plug)
            look_at_spark(&m, &circuit->parts[i]);
    for (size_t i = 0; i < circuit->n_parts; i++)
        look_at_part(&m, &circuit->parts[i], dead);
    look_around(&m, dead);
    *looks = bp_store_keep(store, m.look, m.n, sizeof *m.look);
    *n = m.n;
    free(m.look);
    return !m.failed && !store->failed;
}
