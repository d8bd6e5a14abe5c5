/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is kept of a run over time.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/wave_inside.h"

bool bp_run_record_begin(bp_run *run) {
    bp_wave_result *r = run->result;
    r->n_traces = run->task->n_traces;
    run->room = 1024;
    run->room_for_events = 64;
    r->time = malloc(run->room * sizeof *r->time);
    /* Sample by sample while it grows; by trace at the end. */
    r->value = malloc((run->room * r->n_traces + 1) * sizeof *r->value);
    r->event = malloc(run->room_for_events * sizeof *r->event);
    return r->time && r->value && r->event;
}

static bool grow(bp_run *run) {
    bp_wave_result *r = run->result;
    if (r->n < run->room)
        return true;
    if (r->n >= BP_MOST_SAMPLES) {
        bp_run_give_up(run, "the run took more than %d steps", BP_MOST_SAMPLES);
        return false;
    }
    const size_t room = 2 * run->room;
    double *time = realloc(r->time, room * sizeof *time);
    if (time)
        r->time = time;
    double *value = realloc(r->value, (room * r->n_traces + 1) * sizeof *value);
    if (value)
        r->value = value;
    if (!time || !value) {
        bp_run_give_up(run, "out of memory");
        return false;
    }
    run->room = room;
    return true;
}

static double volts_of(const bp_run *run, size_t face) {
    return run->volts[bp_deck_node_of_face(run->deck, face)];
}

/* Through the first piece of a wire, from its `from` end on. */
static double amps_of(const bp_run *run, size_t wire) {
    const size_t value = run->deck->first[wire];
    const bp_element *e = &run->deck->element[run->deck->element_of[value]];
    return (run->volts[e->plus] - run->volts[e->minus]) / run->values[value];
}

void bp_run_record(bp_run *run) {
    bp_wave_result *r = run->result;
    const bp_task *task = run->task;
    if (run->now < task->from - BP_INSTANT || !grow(run))
        return;
    if (r->n > 0 && run->now <= r->time[r->n - 1])
        return;
    double *row = &r->value[r->n * r->n_traces];
    for (size_t i = 0; i < r->n_traces; i++) {
        const bp_task_trace *t = &task->trace[i];
        row[i] = t->clamp != BP_NONE ? amps_of(run, t->clamp)
                                     : volts_of(run, t->red) - volts_of(run, t->black);
    }
    r->time[r->n++] = run->now;
}

void bp_run_event(bp_run *run, size_t part, int which, double value, double time) {
    bp_wave_result *r = run->result;
    if (time < run->task->from - BP_INSTANT)
        return;
    if (r->n_events == run->room_for_events) {
        const size_t room = 2 * run->room_for_events;
        bp_wave_event *more =
            r->n_events < BP_MOST_EVENTS ? realloc(r->event, room * sizeof *more) : NULL;
        if (!more) {
            bp_run_give_up(run, "too much happened in the run");
            return;
        }
        r->event = more;
        run->room_for_events = room;
    }
    size_t at = r->n_events++;
    for (; at > 0 && r->event[at - 1].time > time; at--) /* they stand in the order of time */
        r->event[at] = r->event[at - 1];
    r->event[at] = (bp_wave_event){time, part, which, value};
}

/* From rows by sample to rows by trace. */
static bool turn(bp_wave_result *r) {
    double *turned = malloc((r->n * r->n_traces + 1) * sizeof *turned);
    if (!turned)
        return false;
    for (size_t i = 0; i < r->n; i++)
        for (size_t t = 0; t < r->n_traces; t++)
            turned[t * r->n + i] = r->value[i * r->n_traces + t];
    free(r->value);
    r->value = turned;
    return true;
}

static double *copy(const double *from, size_t n) {
    double *to = malloc((n + 1) * sizeof *to);
    if (to)
        memcpy(to, from, n * sizeof *to);
    return to;
}

bool bp_run_record_end(bp_run *run) {
    bp_wave_result *r = run->result;
    const size_t n_parts = run->circuit->n_parts;
    r->n_memory = bp_wave_memory(run->circuit, NULL);
    r->n_values = run->deck->n_values;
    r->n_nodes = run->deck->n_nodes;
    r->memory = copy(run->memory, r->n_memory);
    r->values = copy(run->values, r->n_values);
    r->volts = copy(run->volts, r->n_nodes);
    r->position = malloc((n_parts + 1) * sizeof *r->position);
    if (r->position)
        memcpy(r->position, run->c->position, n_parts * sizeof *r->position);
    return turn(r) && r->memory && r->values && r->volts && r->position;
}
