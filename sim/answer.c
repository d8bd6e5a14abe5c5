/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/answer.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/held.h"
#include "sim/notices.h"
#include "sim/store.h"

/* The answer and the memory of all that hangs on it. */
typedef struct owned {
    bp_answer answer; /* first: a pointer to it is one to the whole */
    bp_store store;
} owned;

static const bp_phase *phase_for(const bp_outcome *outcome, size_t state, size_t nth) {
    const bp_phase *found = NULL;
    for (size_t i = 0; i < outcome->result.n_phases; i++)
        if (outcome->result.phase[i].state == state) {
            found = &outcome->result.phase[i];
            if (nth-- == 0)
                break;
        }
    return found; /* the last one of the state when it has fewer */
}

static void face_text(bp_store *store, const bp_circuit *c, size_t face, const char **text) {
    char name[128];
    bp_face_name(c, face, name, sizeof name);
    *text = bp_store_copy(store, name);
}

/* What the meter adds to the spread of good parts. */
static void add_accuracy(const bp_instrument_def *meter, const bp_raw *raw, bp_reading *out) {
    const double own = meter->accuracy(raw->value);
    out->low = raw->value - hypot(raw->value - raw->low, own);
    out->high = raw->value + hypot(raw->high - raw->value, own);
    if (meter->unit == BP_UNIT_OHM || meter->unit == BP_UNIT_FRACTION)
        out->low = fmax(out->low, 0);
}

static void set_none(bp_reading *out, const char *why) {
    out->status = BP_READING_NONE;
    out->why = why;
    snprintf(out->display, sizeof out->display, "--");
}

/* Below this a place may be a reference or a signal of 5 V, or of 8 V as some sensors have: common
 * practice. */
#define REFERENCE_MOST 9.0
/* Less than a volt to begin with is no feed, and what stays above half of it is a feed still:
 * common practice. */
#define WORTH_A_WORD 1.0
#define PULLED_DOWN 0.5

/* A place that gives way when an instrument draws current from it says so: the reading alone does
 * not tell a place that is pulled down from one that is dead. */
static void set_remark(bp_store *store, const bp_raw *raw, double before, bp_reading *out) {
    const bp_instrument_def *meter = bp_instruments[out->instrument];
    if (raw->status != BP_READING_OK || !(fabs(before) >= WORTH_A_WORD) ||
        !(fabs(raw->loaded) < PULLED_DOWN * fabs(before)))
        return;
    char stood[24], left[24];
    bp_instruments[BP_VOLTS]->show(before, stood, sizeof stood);
    bp_instruments[BP_VOLTS]->show(raw->loaded, left, sizeof left);
    const bool low = meter->caution && fabs(before) <= REFERENCE_MOST;
    out->why = bp_store_print(store, "%s stood here until this drew current; now %s%s%s", stood,
                              left, low ? ": " : "", low ? meter->caution : "");
}

static void set_value(bp_store *store, const bp_raw *raw, bp_reading *out) {
    const bp_instrument_def *meter = bp_instruments[out->instrument];
    char why[200];
    out->status = raw->status;
    switch (raw->status) {
    case BP_READING_OK:
        out->value = raw->value;
        out->firm = raw->firm;
        meter->show(raw->value, out->display, sizeof out->display);
        if (isfinite(raw->low) && isfinite(raw->high))
            add_accuracy(meter, raw, out);
        break;
    case BP_READING_OVER:
        snprintf(out->display, sizeof out->display, "OL");
        break;
    case BP_READING_UNSTEADY:
        snprintf(out->display, sizeof out->display, "unsteady");
        out->low = raw->low;
        out->high = raw->high;
        break;
    case BP_READING_NONE:
        bp_why_write(raw->why, raw->why_value, why, sizeof why);
        set_none(out, bp_store_copy(store, why));
        break;
    }
}

typedef struct maker {
    const bp_question *question;
    const bp_circuit *circuit;
    const bp_asked *asked;
    const bp_outcome *outcome;
    bp_store *store;
    bp_scene *scene;
} maker;

/* Where the leads are: the same in every state, so the texts of the first serve all. */
static void name_leads(const maker *m, const bp_asked_pair *pair, bp_reading *out) {
    const bp_circuit *c = m->circuit;
    if (pair->point != BP_NONE)
        out->point = bp_store_copy(m->store, c->points[pair->point].id);
    face_text(m->store, c, pair->red, &out->red);
    face_text(m->store, c, pair->black, &out->black);
    const size_t at = pair->wire != BP_NONE ? pair->wire : m->asked->at;
    if (at != BP_NONE)
        out->at = bp_store_copy(m->store, c->parts[at].id);
}

static void set_moves(const maker *m, const bp_phase *p, size_t pair, bp_reading *out) {
    if (p->n_spreads == 0 || out->status != BP_READING_OK)
        return;
    double *moves = bp_store_get(m->store, p->n_spreads, sizeof *moves);
    for (size_t k = 0; moves && k < p->n_spreads; k++)
        moves[k] = p->strays[pair * p->n_spreads + k];
    out->moves = moves;
}

/* Does something move that is meant to, as a flasher is? */
static bool is_swinging(const bp_circuit *c, const bp_phase *p) {
    for (size_t i = 0; i < c->n_parts; i++)
        if (p->moves[i] && bp_models[bp_kind_index(c->parts[i].kind)]->to_and_fro)
            return true;
    return false;
}

static void make_reading(const maker *m, const bp_asked_pair *pair, size_t state, size_t nth,
                         const bp_reading *named, bp_reading *out) {
    *out = (bp_reading){.instrument = m->question->instrument,
                        .unit = bp_instruments[m->question->instrument]->unit,
                        .value = NAN,
                        .low = NAN,
                        .high = NAN,
                        .unloaded = pair->unloaded};
    if (named) {
        out->point = named->point;
        out->red = named->red;
        out->black = named->black;
        out->at = named->at;
    } else
        name_leads(m, pair, out);
    const bp_outcome *o = &m->outcome[pair->task];
    const bp_phase *p = o->why ? NULL : phase_for(o, state, nth);
    if (!p) {
        set_none(out, bp_store_copy(m->store, o->why ? o->why : "the state was not solved"));
        return;
    }
    const bp_raw *raw = &p->raw[pair->place];
    set_value(m->store, raw, out);
    if (out->status == BP_READING_UNSTEADY && is_swinging(m->circuit, p))
        snprintf(out->display, sizeof out->display, "swings");
    set_moves(m, p, pair->place, out);
    if (p->solved && !p->chatter)
        set_remark(m->store, raw,
                   p->volts[bp_deck_node_of_face(o->deck, pair->red)] -
                       p->volts[bp_deck_node_of_face(o->deck, pair->black)],
                   out);
}

static void make_readings(const maker *m, size_t state, size_t nth, bp_answer *a,
                          bp_state_answer *out) {
    const bp_reading *named = out == a->states ? NULL : a->states[0].readings;
    out->n_readings = m->asked->n_pairs;
    out->readings = bp_store_get(m->store, out->n_readings, sizeof *out->readings);
    for (size_t i = 0; out->readings && i < out->n_readings; i++)
        make_reading(m, &m->asked->pair[i], state, nth, named ? &named[i] : NULL,
                     &out->readings[i]);
}

static void make_phase_name(const maker *m, const bp_phase *p, bp_state_answer *out) {
    if (p->sort == BP_PHASE_WHOLE)
        return;
    const char *id = m->circuit->parts[p->opened].id;
    out->phase = p->sort == BP_PHASE_BEFORE ? bp_store_print(m->store, "before %s opens", id)
                                            : bp_store_print(m->store, "after %s opened", id);
}

/* One state that has no solution at all. */
static void make_unsolved(const maker *m, size_t state, size_t nth, const char *why, bp_answer *a,
                          bp_state_answer *out) {
    out->state = bp_store_copy(m->store, m->circuit->states[state].id);
    out->supply_volts = NAN;
    out->why = bp_store_print(m->store, "no result: %s", why);
    make_readings(m, state, nth, a, out);
}

/* FNV-1a over the positions: equal for equal ones, and for different ones as good as never. */
static uint64_t condition_of(const bp_phase *p, size_t n_parts) {
    uint64_t h = 14695981039346656037u;
    for (size_t i = 0; i < n_parts; i++)
        h = (h ^ (uint64_t)(p->position[i] + 2 * p->moves[i] * 64)) * 1099511628211u;
    return p->chatter ? ~h : h;
}

/* Between the battery's own posts, where one measures a battery: a bad clamp is not its fault. */
static double supply_volts(const bp_deck *deck, const bp_phase *p) {
    const bp_circuit *c = deck->circuit;
    if (c->feed == BP_NONE)
        return NAN;
    const bp_part *battery = &c->parts[c->faces[c->feed].part];
    const size_t plus = bp_pin_find(battery, "+"), minus = bp_pin_find(battery, "-");
    if (plus == BP_NONE || minus == BP_NONE)
        return NAN;
    return p->volts[bp_deck_node_of_face(deck, battery->pins[plus].own)] -
           p->volts[bp_deck_node_of_face(deck, battery->pins[minus].own)];
}

static void make_phases(const maker *m, bp_answer *a) {
    const bp_outcome *o = &m->outcome[0];
    a->n_states = o->result.n_phases;
    a->states = bp_store_get(m->store, a->n_states, sizeof *a->states);
    size_t nth = 0;
    for (size_t i = 0; a->states && i < a->n_states; i++) {
        const bp_phase *p = &o->result.phase[i];
        bp_state_answer *out = &a->states[i];
        nth = i > 0 && p->state == o->result.phase[i - 1].state ? nth + 1 : 0;
        if (!p->solved) {
            make_unsolved(m, p->state, nth, o->result.why, a, out);
            continue;
        }
        out->state = bp_store_copy(m->store, m->circuit->states[p->state].id);
        make_phase_name(m, p, out);
        out->condition = condition_of(p, m->circuit->n_parts);
        make_readings(m, p->state, nth, a, out);
        out->supply_volts = supply_volts(o->deck, p);
        if (!m->question->bare)
            bp_make_notices(m->store, m->scene, &m->asked->task[0], o->deck, p, out);
    }
}

/* All states of a chain were read for the sake of the extremes; those asked for stay. */
static void hold(const maker *m, bp_answer *a) {
    bp_hold(m->store, m->circuit, m->question, a);
    size_t n = 0;
    for (size_t i = 0; m->question->state && i < a->n_states; i++)
        if (strcmp(a->states[i].state, m->question->state) == 0)
            a->states[n++] = a->states[i];
    if (m->question->state)
        a->n_states = n;
}

static void make_nothing(const maker *m, const char *why, bp_answer *a) {
    const size_t only = m->asked->task[0].state;
    a->n_states = only == BP_NONE ? m->circuit->n_states : 1;
    a->states = bp_store_get(m->store, a->n_states, sizeof *a->states);
    for (size_t i = 0; a->states && i < a->n_states; i++)
        make_unsolved(m, only == BP_NONE ? i : only, 0, why, a, &a->states[i]);
}

bp_answer *bp_answer_make(const bp_question *question, const bp_circuit *circuit,
                          const bp_asked *asked, const bp_outcome *outcome, bp_scene *scene) {
    owned *o = calloc(1, sizeof *o);
    if (!o)
        return NULL;
    const maker m = {question, circuit, asked, outcome, &o->store, scene};
    char faults[600];
    bp_fault_write(circuit, &asked->task[0].faults, faults, sizeof faults);
    o->answer.circuit = bp_store_copy(&o->store, circuit->id);
    o->answer.faults = bp_store_copy(&o->store, faults);
    o->answer.n_moves = question->moves ? bp_spreads_count(circuit) : 0;
    const bp_outcome *first = &outcome[0];
    if (first->why)
        make_nothing(&m, first->why, &o->answer);
    else if (first->result.status != BP_OK)
        make_nothing(&m, first->result.why, &o->answer);
    else
        make_phases(&m, &o->answer);
    bp_answer *answer = &o->answer;
    if (question->min_max && !o->store.failed)
        hold(&m, answer);
    if (o->store.failed)
        bp_answer_free(&answer);
    return answer;
}

bp_store *bp_answer_store(bp_answer *answer) { return &((owned *)answer)->store; }

void bp_answer_free(bp_answer **answer) {
    if (!answer || !*answer)
        return;
    owned *o = (owned *)*answer;
    bp_store_clear(&o->store);
    free(o);
    *answer = NULL;
}
