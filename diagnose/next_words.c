/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a test is made, in plain words.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "circuits/kinds/battery.h"
#include "diagnose/next_parts.h"
#include "sim/instrument.h"
#include "sim/model.h"

enum { MOST_STEPS = 8 };

/* What is said of each instrument: the title's first word, how it is set, what to beware of. */
static const struct {
    const char *title, *set, *beware;
} said[BP_N_INSTRUMENTS] = {
    [BP_VOLTS] = {"Volts", "volts DC, 20 V range or automatic", NULL},
    [BP_VOLTS_LOADED] = {"Volts under load", "volts DC with the low input resistance switched on",
                         NULL},
    [BP_MILLIVOLTS] = {"Millivolts", "millivolts DC; OL means more than the range", NULL},
    [BP_OHMS] = {"Ohms", "ohms; hold the leads together first and take off what they show alone",
                 "only where no voltage stands; what hangs in parallel reads along"},
    [BP_AMPS] = {"Amps", "10 A range, red lead in its amps socket; back to the volts socket after",
                 "never across a battery or from feed to ground: the meter's fuse blows"},
    [BP_AMPS_CLAMP] = {"Amps by clamp", "DC clamp, set to zero beside the wire first",
                       "one wire only in the jaws"},
    [BP_DIODE_TEST] = {"Diode test", "diode test, red on its anode",
                       "only where no voltage stands"},
    [BP_TEST_LAMP] = {"Test lamp", "test lamp with a 12 V bulb, its clip on the black place",
                      "not on wires of modules, sensors or airbags"},
    [BP_LED_LAMP] = {"Lamp with diodes", "test lamp with light-emitting diodes",
                     "it lights behind resistances that starve a load"},
};

static bool is_reference(const bp_circuit *c, size_t face) {
    return face == BP_NONE || bp_face_node(c, face) == bp_face_node(c, c->reference);
}

/* As a case file writes it. */
static const char *lead_name(bp_next *n, size_t face, size_t point) {
    char text[128];
    if (point != BP_NONE)
        return n->d->circuit->points[point].id;
    bp_face_name(n->d->circuit, face, text, sizeof text);
    return bp_store_copy(&n->store, text);
}

static const char *part_words(bp_next *n, size_t part) {
    const bp_part *p = &n->d->circuit->parts[part];
    return p->label ? bp_store_print(&n->store, "%s (%s)", p->id, p->label) : p->id;
}

static const char *state_words(const bp_circuit *c, size_t state) {
    return c->states[state].label ? c->states[state].label : c->states[state].id;
}

/* ---- titles ---- */

static const char *watched_words(bp_next *n, size_t part) {
    const unsigned senses = bp_models[bp_kind_index(n->d->circuit->parts[part].kind)]->senses;
    return senses & BP_HEARD ? "Listen to" : senses & BP_SEEN ? "Look at" : "Feel";
}

static const char *what_words(bp_next *n, const bp_test *t) {
    const bp_circuit *c = n->d->circuit;
    const char *name = said[t->instrument].title;
    if (t->part != BP_NONE)
        return bp_store_print(&n->store, "%s %s", watched_words(n, t->part),
                              part_words(n, t->part));
    if (t->at != BP_NONE)
        return bp_store_print(&n->store, "%s in the place of %s", name, part_words(n, t->at));
    if (is_reference(c, t->black))
        return bp_store_print(&n->store, "%s at %s", name, lead_name(n, t->red, t->red_point));
    return bp_store_print(&n->store, "%s from %s to %s", name, lead_name(n, t->red, t->red_point),
                          lead_name(n, t->black, t->black_point));
}

static const char *title_of(bp_next *n, const bp_test *t) {
    const char *what = what_words(n, t), *after = "";
    for (size_t i = 0; i < t->n_after; i++)
        after = bp_store_print(&n->store, "%s, after: %s", after, t->after[i]);
    return bp_store_print(&n->store, "%s, %s%s", what, state_words(n->d->circuit, t->state), after);
}

/* ---- steps ---- */

typedef struct steps {
    bp_next_step list[MOST_STEPS];
    size_t n;
} steps;

static void add(steps *s, const char *what, const char *how) {
    if (s->n < MOST_STEPS)
        s->list[s->n++] = (bp_next_step){what, how};
}

static const char *state_step(bp_next *n, size_t state) {
    const bp_state *s = &n->d->circuit->states[state];
    if (s->lasts < 60)
        return bp_store_print(&n->store,
                              "%s (%s): it lasts %.3g s, so somebody switches while you look",
                              state_words(n->d->circuit, state), s->id, s->lasts);
    return s->label ? bp_store_print(&n->store, "%s (%s)", s->label, s->id) : s->id;
}

static const char *action_step(bp_next *n, const bp_test *t) {
    const char *text = t->after[0];
    for (size_t i = 1; i < t->n_after; i++)
        text = bp_store_print(&n->store, "%s, then %s", text, t->after[i]);
    return bp_store_print(&n->store, "%s, key off while you do it", text);
}

static const char *reach_words(const bp_point *point) {
    static const char *const words[] = {[BP_BACK_PROBE] = "from behind along the wire",
                                        [BP_FUSE_TAB] = "on the test tab of the fuse in its socket",
                                        [BP_BREAKOUT_LEAD] =
                                            "by a breakout lead between part and socket",
                                        [BP_PLUG_OPEN] = "with the plug open",
                                        [BP_SOCKET_PART_OUT] = "in the socket with the part out"};
    return words[point->reach];
}

static const char *lead_step(bp_next *n, size_t face, size_t point) {
    const bp_circuit *c = n->d->circuit;
    if (face == BP_NONE)
        face = c->reference;
    const bp_part *p = &c->parts[c->faces[face].part];
    if (point != BP_NONE) {
        const bp_point *at = &c->points[point];
        char name[128];
        bp_face_name(c, at->face, name, sizeof name);
        return bp_store_print(&n->store, "%s%s%s%s%s, %s", at->id, at->automatic ? "" : " = ",
                              at->automatic ? "" : name, at->note ? ", " : "",
                              at->note ? at->note : "", reach_words(at));
    }
    const char *name = lead_name(n, face, BP_NONE);
    if (p->kind == &bp_kind_battery)
        return bp_store_print(&n->store, "%s, the battery’s %s %s", name,
                              c->faces[face].pin == BP_BATTERY_PIN_PLUS ? "+" : "−",
                              c->faces[face].part_side ? "post itself" : "clamp");
    return bp_store_print(&n->store, "%s, %s", name,
                          c->faces[face].part_side ? "the part’s own terminal" : "the wires’ side");
}

/* People get hurt by what turns, burns and starts by itself; the circuit's own cautions come first
 * on every sheet, this is what the test at hand adds. */
static const char *beware_words(bp_next *n, const bp_test *t) {
    const bp_state *s = &n->d->circuit->states[t->state];
    const char *own = t->part == BP_NONE ? said[t->instrument].beware : NULL;
    const char *turns =
        s->supply == BP_SUPPLY_CRANKING ? "out of gear, brake on, hands clear of belts and fans"
        : s->speed > 0 ? "engine runs: brake on, fresh air, hands and leads clear of belts and fans"
                       : NULL;
    if (own && turns)
        return bp_store_print(&n->store, "%s; %s", own, turns);
    return own ? own : turns;
}

static void lead_steps(bp_next *n, const bp_test *t, steps *s) {
    if (t->at != BP_NONE && t->instrument == BP_AMPS) {
        add(s, "Leads",
            bp_store_print(&n->store,
                           "take out %s; red on the fed side of its socket, black on "
                           "the other",
                           part_words(n, t->at)));
        return;
    }
    if (t->at != BP_NONE) {
        add(s, "Clamp", bp_store_print(&n->store, "around %s", part_words(n, t->at)));
        return;
    }
    add(s, "Red lead", lead_step(n, t->red, t->red_point));
    add(s, "Black lead", lead_step(n, t->black, t->black_point));
}

static void make_steps(bp_next *n, const bp_test *t, bp_next_test *out) {
    steps s = {.n = 0};
    if (t->n_after > 0)
        add(&s, "First", action_step(n, t));
    if (t->part == BP_NONE) {
        add(&s, "Meter", said[t->instrument].set);
        lead_steps(n, t, &s);
    }
    add(&s, "State", state_step(n, t->state));
    const char *beware = beware_words(n, t);
    if (beware)
        add(&s, "Beware", beware);
    out->steps = bp_store_keep(&n->store, s.list, s.n, sizeof *s.list);
    out->n_steps = out->steps ? s.n : 0;
}

static bool is_lamp(bp_instrument instrument) {
    return instrument == BP_TEST_LAMP || instrument == BP_LED_LAMP;
}

void bp_next_name_test(bp_next *n, size_t test, bp_next_test *out) {
    const bp_circuit *c = n->d->circuit;
    const bp_test *t = bp_atlas_test(n->d->atlas, n->forecast->test[test]);
    *out = (bp_next_test){.title = title_of(n, t),
                          .after = t->after,
                          .n_after = t->n_after,
                          .state = c->states[t->state].id,
                          .instrument = t->instrument};
    make_steps(n, t, out);
    if (t->part != BP_NONE) {
        out->observe = c->parts[t->part].id;
        return;
    }
    out->unit = is_lamp(t->instrument) ? BP_UNIT_NONE : bp_instruments[t->instrument]->unit;
    if (t->at != BP_NONE) {
        out->at = c->parts[t->at].id;
        return;
    }
    out->red = lead_name(n, t->red, t->red_point);
    out->red_point = t->red_point == BP_NONE ? NULL : c->points[t->red_point].id;
    out->black = is_reference(c, t->black) ? NULL : lead_name(n, t->black, t->black_point);
    out->black_point = t->black_point == BP_NONE ? NULL : c->points[t->black_point].id;
}
