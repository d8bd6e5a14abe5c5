/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/wave_result.h"

#include <math.h>
#include <stdlib.h>

#include "sim/session.h"
#include "sim/wave.h"

void bp_wave_result_clear(bp_wave_result *r) {
    free(r->time);
    free(r->value);
    free(r->event);
    free(r->memory);
    free(r->values);
    free(r->volts);
    free(r->position);
    *r = (bp_wave_result){0};
}

size_t bp_wave_memory(const bp_circuit *circuit, size_t *at) {
    size_t n = 0;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_model *model = bp_models[bp_kind_index(circuit->parts[i].kind)];
        if (at)
            at[i] = n;
        n += model->wave ? model->wave->n_memory : 0;
    }
    return n;
}

void bp_wave_result_write(const bp_wave_result *r, const bp_circuit *circuit, bp_bytes *to) {
    bp_bytes_add(to, &r->status, sizeof r->status);
    bp_bytes_add(to, r->why, sizeof r->why);
    if (r->status != BP_OK)
        return;
    bp_bytes_add(to, &r->n, sizeof r->n);
    bp_bytes_add(to, &r->n_events, sizeof r->n_events);
    bp_bytes_add(to, r->time, r->n * sizeof *r->time);
    bp_bytes_add(to, r->value, r->n * r->n_traces * sizeof *r->value);
    bp_bytes_add(to, r->event, r->n_events * sizeof *r->event);
    bp_bytes_add(to, r->memory, r->n_memory * sizeof *r->memory);
    bp_bytes_add(to, r->values, r->n_values * sizeof *r->values);
    bp_bytes_add(to, r->volts, r->n_nodes * sizeof *r->volts);
    bp_bytes_add(to, r->position, circuit->n_parts * sizeof *r->position);
}

static bool make_room(bp_wave_result *r, size_t n_parts) {
    r->time = calloc(r->n + 1, sizeof *r->time);
    r->value = calloc(r->n * r->n_traces + 1, sizeof *r->value);
    r->event = calloc(r->n_events + 1, sizeof *r->event);
    r->memory = calloc(r->n_memory + 1, sizeof *r->memory);
    r->values = calloc(r->n_values + 1, sizeof *r->values);
    r->volts = calloc(r->n_nodes + 1, sizeof *r->volts);
    r->position = calloc(n_parts + 1, sizeof *r->position);
    return r->time && r->value && r->event && r->memory && r->values && r->volts && r->position;
}

static bool within(const double *x, size_t n, double most) {
    for (size_t i = 0; i < n; i++)
        if (!(fabs(x[i]) <= most))
            return false;
    return true;
}

static bool times_are_sane(const bp_wave_result *r, const bp_task *task) {
    const double slack = 1e-9 * (task->to - task->from);
    if (r->n < 2 || !(fabs(r->time[0] - task->from) <= slack) ||
        !(fabs(r->time[r->n - 1] - task->to) <= slack))
        return false;
    for (size_t i = 1; i < r->n; i++)
        if (!(r->time[i] > r->time[i - 1]))
            return false;
    return true;
}

static bool events_are_sane(const bp_wave_result *r, const bp_circuit *circuit) {
    for (size_t i = 0; i < r->n_events; i++) {
        const bp_wave_event *e = &r->event[i];
        if (e->part >= circuit->n_parts || !isfinite(e->time))
            return false;
        const bp_model *model = bp_models[bp_kind_index(circuit->parts[e->part].kind)];
        int told = 0;
        while (model->wave && model->wave->tells && model->wave->tells[told].id)
            told++;
        if (e->which >= told || e->which < -1 - model->n_positions)
            return false;
    }
    return true;
}

static bool read_numbers(bp_wave_result *r, const bp_circuit *c, bp_bytes *from) {
    bp_bytes_get(from, r->time, r->n * sizeof *r->time);
    bp_bytes_get(from, r->value, r->n * r->n_traces * sizeof *r->value);
    bp_bytes_get(from, r->event, r->n_events * sizeof *r->event);
    bp_bytes_get(from, r->memory, r->n_memory * sizeof *r->memory);
    bp_bytes_get(from, r->values, r->n_values * sizeof *r->values);
    bp_bytes_get(from, r->volts, r->n_nodes * sizeof *r->volts);
    bp_bytes_get(from, r->position, c->n_parts * sizeof *r->position);
    return !from->failed && from->at == from->size;
}

bool bp_wave_result_read(bp_wave_result *r, const bp_task *task, const bp_deck *deck,
                         bp_bytes *from) {
    const bp_circuit *c = deck->circuit;
    *r = (bp_wave_result){.n_traces = task->n_traces};
    bp_bytes_get(from, &r->status, sizeof r->status);
    bp_bytes_get(from, r->why, sizeof r->why);
    r->why[sizeof r->why - 1] = '\0';
    if (from->failed)
        return false;
    if (r->status != BP_OK)
        return r->status == BP_ERR_SOLVER || r->status == BP_ERR_MEMORY;
    r->n = bp_bytes_get_count(from, BP_MOST_SAMPLES);
    r->n_events = bp_bytes_get_count(from, BP_MOST_EVENTS);
    r->n_memory = bp_wave_memory(c, NULL);
    r->n_values = deck->n_values;
    r->n_nodes = deck->n_nodes;
    return !from->failed && make_room(r, c->n_parts) && read_numbers(r, c, from) &&
           times_are_sane(r, task) && within(r->value, r->n * r->n_traces, BP_SANE_VOLTS) &&
           within(r->volts, r->n_nodes, BP_SANE_VOLTS) &&
           within(r->memory, r->n_memory, HUGE_VAL) && within(r->values, r->n_values, HUGE_VAL) &&
           bp_positions_are_sane(r->position, c) && events_are_sane(r, c);
}
