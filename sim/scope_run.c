/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/scope_run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/kinds/wire.h"
#include "sim/features.h"
#include "sim/store.h"
#include "sim/wave.h"

/* The run and the memory of all that hangs on it. */
typedef struct owned {
    bp_scope_run run; /* first: a pointer to it is one to the whole */
    bp_store store;
} owned;

/* "W12 GN", or "W12". */
static const char *wire_words(bp_store *store, const bp_part *wire) {
    const char *colour = wire->text ? wire->text[BP_WIRE_COLOUR] : NULL;
    return colour ? bp_store_print(store, "%s %s", wire->id, colour)
                  : bp_store_copy(store, wire->id);
}

/* The first wire that ends at a face, BP_NONE. */
static size_t wire_at(const bp_circuit *c, size_t face) {
    for (size_t i = 0; i < c->n_parts; i++)
        if (c->parts[i].kind == &bp_kind_wire &&
            (c->parts[i].pins[0].harness == face || c->parts[i].pins[1].harness == face))
            return i;
    return BP_NONE;
}

static const char *face_words(bp_store *store, const bp_circuit *c, size_t face) {
    char name[128];
    bp_face_name(c, face, name, sizeof name);
    return bp_store_copy(store, name);
}

static const char *trace_name(bp_store *store, const bp_circuit *c, const bp_scope_trace *asked,
                              const bp_task_trace *trace) {
    if (trace->clamp != BP_NONE)
        return bp_store_print(store, "clamp on %s", wire_words(store, &c->parts[trace->clamp]));
    char name[128];
    bp_face_name(c, trace->red, name, sizeof name);
    const size_t wire = wire_at(c, trace->red);
    const char *at = strcmp(asked->red, name) == 0
                         ? bp_store_copy(store, name)
                         : bp_store_print(store, "%s %s", asked->red, name);
    const char *wired =
        wire == BP_NONE ? at
                        : bp_store_print(store, "%s (%s)", at, wire_words(store, &c->parts[wire]));
    return asked->black ? bp_store_print(store, "%s over %s", wired, asked->black) : wired;
}

static void make_traces(owned *o, const bp_circuit *c, const bp_scope_asked *asked,
                        const bp_wave_result *r) {
    const bp_task *task = &asked->steady.task[0];
    bp_store *store = &o->store;
    bp_scope_shown *shown = bp_store_get(store, task->n_traces, sizeof *shown);
    for (size_t i = 0; shown && i < task->n_traces; i++) {
        const bp_task_trace *t = &task->trace[i];
        const bool clamp = t->clamp != BP_NONE;
        shown[i] =
            (bp_scope_shown){.name = trace_name(store, c, &asked->trace[i], t),
                             .red = clamp ? NULL : face_words(store, c, t->red),
                             .black = clamp ? NULL : face_words(store, c, t->black),
                             .clamp = clamp ? bp_store_copy(store, c->parts[t->clamp].id) : NULL,
                             .unit = clamp ? BP_UNIT_AMPERE : BP_UNIT_VOLT,
                             .value = bp_store_keep(store, r->value ? &r->value[i * r->n] : NULL,
                                                    r->n, sizeof *r->value)};
    }
    o->run.traces = shown;
    o->run.n_traces = task->n_traces;
}

static void make_events(owned *o, const bp_circuit *c, const bp_wave_result *r) {
    bp_scope_event *event = bp_store_get(&o->store, r->n_events, sizeof *event);
    size_t n = 0;
    for (size_t i = 0; event && i < r->n_events; i++) {
        const bp_wave_event *e = &r->event[i];
        const bp_part *part = &c->parts[e->part];
        const bp_model *model = bp_models[bp_kind_index(part->kind)];
        const bp_wave_tell *tell = e->which >= 0 ? &model->wave->tells[e->which] : NULL;
        if (tell && !tell->words)
            continue;
        event[n] = (bp_scope_event){.time = e->time,
                                    .part = bp_store_copy(&o->store, part->id),
                                    .value = e->value,
                                    .unit = tell ? tell->unit : BP_UNIT_NONE};
        if (tell) {
            event[n].id = tell->id;
            event[n].words = bp_store_print(&o->store, tell->words, part->id);
        } else {
            event[n].id = model->positions[-1 - e->which];
            event[n].words = bp_store_print(&o->store, "%s: %s", part->id, event[n].id);
        }
        n++;
    }
    o->run.events = event;
    o->run.n_events = n;
}

/* What people noticed over the run: the wave blocks look at how it stood at its end. */
static void make_notices(owned *o, const bp_circuit *circuit, const bp_scope_asked *asked,
                         const bp_deck *deck, const bp_wave_result *r) {
    const bp_task *task = &asked->steady.task[0];
    bp_case *c = bp_case_new(circuit, deck);
    size_t *at = calloc(circuit->n_parts + 1, sizeof *at);
    bp_notice *notice = bp_store_get(&o->store, circuit->n_parts, sizeof *notice);
    if (!c || !at || !notice) {
        o->store.failed = true;
        free(at);
        bp_case_free(&c);
        return;
    }
    bp_wave_memory(circuit, at);
    c->faults = task->faults;
    memcpy(c->done, task->done, circuit->n_parts * sizeof *c->done);
    memcpy(c->position, r->position, circuit->n_parts * sizeof *c->position);
    c->memory = r->memory;
    c->memory_at = at;
    bp_case_enter(c, task->state, &task->conditions);
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_model *model = bp_models[bp_kind_index(circuit->parts[i].kind)];
        bp_behaviour b = {.says = NULL, .value = NAN, .senses = model->senses};
        const bp_moment m = {.view = bp_case_view(c, i, r->values, r->volts),
                             .time = task->to,
                             .before = task->to,
                             .memory = &r->memory[at[i]]};
        if (model->wave && model->wave->behave)
            model->wave->behave(&m, &b);
        if (!b.says)
            continue;
        notice[o->run.n_notices++] =
            (bp_notice){.part = bp_store_copy(&o->store, circuit->parts[i].id),
                        .says = b.says,
                        .words = bp_store_print(&o->store, "%s %s", circuit->parts[i].id, b.words),
                        .value = b.value,
                        .unit = b.unit,
                        .senses = b.senses};
    }
    o->run.notices = notice;
    free(at);
    bp_case_free(&c);
}

bp_scope_run *bp_scope_make(const bp_circuit *circuit, const bp_scope_asked *asked,
                            const bp_deck *deck, const bp_wave_result *result, const char *why) {
    owned *o = calloc(1, sizeof *o);
    if (!o)
        return NULL;
    const bp_task *task = &asked->steady.task[0];
    char faults[600];
    bp_fault_write(circuit, &task->faults, faults, sizeof faults);
    o->run.circuit = bp_store_copy(&o->store, circuit->id);
    o->run.state = bp_store_copy(&o->store, circuit->states[task->state].id);
    o->run.faults = bp_store_copy(&o->store, faults);
    o->run.from = task->from;
    o->run.to = task->to;
    make_traces(o, circuit, asked, result);
    if (why) {
        o->run.why = bp_store_print(&o->store, "no result: %s", why);
    } else {
        o->run.n = result->n;
        o->run.time = bp_store_keep(&o->store, result->time, result->n, sizeof *result->time);
        make_events(o, circuit, result);
        make_notices(o, circuit, asked, deck, result);
        if (!o->store.failed)
            bp_make_features(&o->store, circuit, result, &o->run);
    }
    bp_scope_run *run = &o->run;
    if (o->store.failed)
        bp_scope_run_free(&run);
    return run;
}

void bp_scope_run_free(bp_scope_run **run) {
    if (!run || !*run)
        return;
    owned *o = (owned *)*run;
    bp_store_clear(&o->store);
    free(o);
    *run = NULL;
}

const bp_feature *bp_scope_feature(const bp_scope_run *scope, size_t trace, const char *id) {
    for (size_t i = 0; i < scope->n_features; i++)
        if (strcmp(scope->features[i].id, id) == 0 &&
            (trace == BP_SCOPE_NO_TRACE || scope->features[i].trace == trace))
            return &scope->features[i];
    return NULL;
}

const bp_feature *bp_scope_same(const bp_scope_run *scope, const bp_feature *feature) {
    for (size_t i = 0; scope && i < scope->n_features; i++) {
        const bp_feature *f = &scope->features[i];
        const bool part = (!f->part && !feature->part) ||
                          (f->part && feature->part && strcmp(f->part, feature->part) == 0);
        if (part && f->trace == feature->trace && strcmp(f->id, feature->id) == 0)
            return f;
    }
    return NULL;
}

double bp_scope_value(const bp_scope_run *scope, size_t trace, double time) {
    if (scope->n < 2 || !(time >= scope->time[0] && time <= scope->time[scope->n - 1]))
        return NAN;
    size_t low = 0, high = scope->n - 1;
    while (high - low > 1) {
        const size_t middle = (low + high) / 2;
        if (scope->time[middle] <= time)
            low = middle;
        else
            high = middle;
    }
    const double *v = scope->traces[trace].value, *t = scope->time;
    return v[low] + (time - t[low]) / (t[high] - t[low]) * (v[high] - v[low]);
}
