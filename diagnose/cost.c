/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/cost.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/model.h"

/* Minutes, common practice: what a practised hand takes with the tools laid out. What is stated for
 * a part or a point (`access`) comes on top. */
#define READ 0.3    /* leads on, look, leads off */
#define WATCH 0.2   /* look or listen */
#define AGAIN 0.3   /* another pin of what is laid open already */
#define SWITCH 0.2  /* turn a key or a switch on by one step */
#define RELEASE 0.5 /* everything off, and back from the start */
#define CRANK 1.0   /* somebody in the seat, short bursts, the battery rests in between */
#define HURRY 0.5   /* a state that is soon over: a second person, and the right moment */
#define WARM_UP 0.1 /* for each K by which the engine has to be warmer */
#define COLD 20.0   /* degC, an engine that stood */
#define ACT 0.5     /* unplug, pull ... once the part is at hand */
#define LEAD 1.0    /* a fused lead or a lamp put in place */
#define UNDO 0.5    /* and put back */
#define SETUP 0.3   /* another range, other leads */
#define IN_LINE 1.0 /* an ammeter into the place of a part, and the part back again */

struct bp_bench_top {
    const bp_circuit *circuit;
    bool *reached;            /* by part: what is in the way is off */
    size_t state;             /* BP_NONE: everything released */
    double engine;            /* degC, as warm as it was made */
    int instrument;           /* -1: none in hand */
    const char *const *after; /* what stands done; the atlas's */
    size_t n_after;
};

bp_bench_top *bp_bench_top_new(const bp_atlas *atlas) {
    bp_bench_top *top = calloc(1, sizeof *top);
    if (!top)
        return NULL;
    top->circuit = bp_atlas_circuit(atlas);
    top->reached = calloc(top->circuit->n_parts + 1, sizeof *top->reached);
    if (!top->reached) {
        free(top);
        return NULL;
    }
    bp_bench_top_reset(top);
    return top;
}

void bp_bench_top_free(bp_bench_top **top) {
    if (!*top)
        return;
    free((*top)->reached);
    free(*top);
    *top = NULL;
}

void bp_bench_top_reset(bp_bench_top *top) {
    memset(top->reached, 0, top->circuit->n_parts * sizeof *top->reached);
    top->state = BP_NONE;
    top->engine = COLD;
    top->instrument = -1;
    top->after = NULL;
    top->n_after = 0;
}

void bp_bench_top_take(bp_bench_top *top, const bp_bench_top *from) {
    bool *reached = top->reached;
    memcpy(reached, from->reached, from->circuit->n_parts * sizeof *reached);
    *top = *from;
    top->reached = reached;
}

/* ---- getting there ---- */

static double lead_minutes(const bp_bench_top *top, size_t face, size_t point) {
    const bp_circuit *c = top->circuit;
    const size_t part = c->faces[face].part;
    if (top->reached[part])
        return AGAIN;
    return point != BP_NONE ? c->points[point].access : c->parts[part].access;
}

/* Whether a fuse has blown or a switch has tripped is seen at the part itself; what lamps and
 * motors do is noticed from where one stands. */
static bool is_hidden(const bp_part *p) {
    const bp_model *model = bp_models[bp_kind_index(p->kind)];
    return model->senses == BP_SEEN && (model->lasting || p->kind->settings);
}

static double leads_minutes(const bp_bench_top *top, const bp_test *t) {
    const bp_circuit *c = top->circuit;
    if (t->part != BP_NONE)
        return top->reached[t->part] || !is_hidden(&c->parts[t->part]) ? 0
                                                                       : c->parts[t->part].access;
    if (t->instrument == BP_AMPS_CLAMP)
        return t->at == BP_NONE || top->reached[t->at] ? 0 : c->parts[t->at].access;
    if (t->at != BP_NONE)
        return IN_LINE + (top->reached[t->at] ? 0 : c->parts[t->at].access);
    const double red = lead_minutes(top, t->red, t->red_point);
    /* The black lead stays where it is clipped on. */
    if (t->black == BP_NONE)
        return red + (top->reached[c->faces[c->reference].part]
                          ? 0
                          : c->parts[c->faces[c->reference].part].access);
    const size_t at = c->faces[t->black].part;
    return red +
           (at == c->faces[t->red].part ? AGAIN : lead_minutes(top, t->black, t->black_point));
}

static void reach(bp_bench_top *top, size_t part) {
    const bp_circuit *c = top->circuit;
    for (size_t i = 0; i < c->n_parts; i++)
        if (i == part || (c->parts[i].unit && c->parts[part].unit &&
                          strcmp(c->parts[i].unit, c->parts[part].unit) == 0))
            top->reached[i] = true;
}

/* ---- actions ---- */

static bool stands(const char *const *list, size_t n, const char *action) {
    for (size_t i = 0; i < n; i++)
        if (strcmp(list[i], action) == 0)
            return true;
    return false;
}

/* The part that an action is about: its second word; BP_NONE. */
static size_t part_of_action(const bp_circuit *c, const char *action) {
    char word[128] = "";
    sscanf(action, "%*s %127s", word);
    const size_t part = bp_part_find(c, word);
    if (part != BP_NONE)
        return part;
    const size_t face = bp_face_find(c, word);
    return face == BP_NONE ? BP_NONE : c->faces[face].part;
}

/* "20min": an action in an atlas was taken, so its time can be read. */
static double waited_minutes(const char *text) {
    char why[160];
    double seconds = 0;
    bp_quantity_parse(text, BP_UNIT_SECOND, &seconds, why, sizeof why);
    return seconds / 60;
}

static double act_minutes(const bp_bench_top *top, const char *action) {
    static const char *const by_hand[] = {"unplug ", "pull ", "reseat ", "renew ", "tug ", "wet "};
    const bp_circuit *c = top->circuit;
    const size_t part = part_of_action(c, action);
    double minutes = LEAD;
    for (size_t i = 0; i < sizeof by_hand / sizeof *by_hand; i++)
        if (strncmp(action, by_hand[i], strlen(by_hand[i])) == 0)
            minutes = ACT;
    if (strncmp(action, "substitute ", 11) == 0 && part != BP_NONE)
        minutes = c->parts[part].fit;
    if (strncmp(action, "wait ", 5) == 0)
        return waited_minutes(action + 5);
    return minutes + (part == BP_NONE || top->reached[part] ? 0 : c->parts[part].access);
}

static double actions_minutes(const bp_bench_top *top, const bp_test *t) {
    double sum = 0;
    for (size_t i = 0; i < top->n_after; i++)
        if (!stands(t->after, t->n_after, top->after[i]))
            sum += UNDO;
    for (size_t i = 0; i < t->n_after; i++)
        if (!stands(top->after, top->n_after, t->after[i]))
            sum += act_minutes(top, t->after[i]);
    return sum;
}

/* ---- states ---- */

static double enter_minutes(const bp_bench_top *top, size_t state) {
    const bp_state *s = &top->circuit->states[state];
    double sum = s->n_settings > 0 ? SWITCH : 0;
    if (s->supply == BP_SUPPLY_CRANKING)
        sum += CRANK;
    if (s->engine > top->engine)
        sum += WARM_UP * (s->engine - top->engine);
    return sum;
}

/* From `from` (BP_NONE: released) forwards to `to`; false when that is no way. */
static bool way(const bp_bench_top *top, size_t from, size_t to, double *minutes) {
    *minutes = 0;
    for (size_t s = to, n = 0; s != from && n <= top->circuit->n_states; n++) {
        if (s == BP_NONE)
            return false;
        *minutes += enter_minutes(top, s);
        s = top->circuit->states[s].from;
    }
    return true;
}

static double state_minutes(const bp_bench_top *top, size_t state) {
    double minutes;
    const double hurry = top->circuit->states[state].lasts < 60 ? HURRY : 0;
    if (way(top, top->state, state, &minutes))
        return minutes + hurry;
    way(top, BP_NONE, state, &minutes);
    return RELEASE + minutes + hurry;
}

/* ---- all of it ---- */

static double instrument_minutes(const bp_bench_top *top, const bp_test *t) {
    return t->part != BP_NONE || top->instrument == (int)t->instrument ? 0 : SETUP;
}

double bp_test_minutes(const bp_bench_top *top, const bp_test *t) {
    return (t->part != BP_NONE ? WATCH : READ) + leads_minutes(top, t) + actions_minutes(top, t) +
           instrument_minutes(top, t) + state_minutes(top, t->state);
}

void bp_bench_top_made(bp_bench_top *top, const bp_test *t) {
    const bp_circuit *c = top->circuit;
    for (size_t i = 0; i < t->n_after; i++) {
        const size_t part = part_of_action(c, t->after[i]);
        if (part != BP_NONE)
            reach(top, part);
    }
    top->after = t->after;
    top->n_after = t->n_after;
    /* A state that is over by itself has to be entered again, as from the one before it. */
    top->state = c->states[t->state].lasts < 60 ? c->states[t->state].from : t->state;
    for (size_t s = t->state, n = 0; s != BP_NONE && n <= c->n_states; s = c->states[s].from, n++)
        if (c->states[s].engine > top->engine)
            top->engine = c->states[s].engine;
    if (t->part != BP_NONE)
        return;
    top->instrument = (int)t->instrument;
    if (t->at != BP_NONE)
        reach(top, t->at);
    if (t->red != BP_NONE)
        reach(top, c->faces[t->red].part);
    if (t->red != BP_NONE)
        reach(top, c->faces[t->black == BP_NONE ? c->reference : t->black].part);
}

/* ---- repairs ---- */

/* Driving off or switching on once more, to see that the complaint is gone. */
#define PROVE 1.0
/* One terminal of a plug cut off, crimped anew and pushed in: common practice. */
#define TERMINAL_MINUTES 20.0
#define TERMINAL_MONEY 2.0

double bp_fix_minutes(const bp_circuit *c, const bp_fault *fault) {
    const bp_part *p = &c->parts[fault->part];
    const bool terminal = bp_fault_mode(c, fault)->scope != BP_SCOPE_PART;
    return p->access + (terminal ? TERMINAL_MINUTES : p->fit) + PROVE;
}

double bp_fix_money(const bp_circuit *c, const bp_fault *fault) {
    return bp_fault_mode(c, fault)->scope != BP_SCOPE_PART ? TERMINAL_MONEY
                                                           : c->parts[fault->part].price;
}
