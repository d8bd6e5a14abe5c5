/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/task.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a task or result may hold at most, so that a garbled count never asks for all the memory
 * there is. */
enum { MOST_PAIRS = 100000 };

bool bp_task_make_known(bp_task *task, const bp_circuit *circuit) {
    task->known = calloc(circuit->n_states + 1, sizeof *task->known);
    task->foreseen = calloc(circuit->n_states * circuit->n_parts + 1, sizeof *task->foreseen);
    return task->known && task->foreseen;
}

bool bp_task_init(bp_task *task, const bp_circuit *circuit) {
    *task = (bp_task){.conditions = {NAN, NAN, NAN, 0}, .state = BP_NONE, .solve = BP_NONE};
    task->done = calloc(circuit->n_parts + 1, sizeof *task->done);
    if (!task->done || !bp_task_make_known(task, circuit))
        bp_task_clear(task);
    return task->done != NULL;
}

void bp_task_clear(bp_task *task) {
    free(task->done);
    free(task->trace);
    task->trace = NULL;
    task->n_traces = 0;
    free(task->known);
    free(task->foreseen);
    task->done = NULL;
    task->known = NULL;
    task->foreseen = NULL;
    bp_plan_clear(&task->plan);
}

bool bp_task_copy(bp_task *to, const bp_task *from, const bp_circuit *circuit) {
    *to = *from;
    to->done = calloc(circuit->n_parts + 1, sizeof *to->done);
    to->trace = calloc(from->n_traces + 1, sizeof *to->trace);
    const bool room = bp_task_make_known(to, circuit);
    const bool good = bp_plan_copy(&to->plan, &from->plan) && room && to->done && to->trace;
    if (good) {
        memcpy(to->done, from->done, circuit->n_parts * sizeof *to->done);
        if (from->n_traces)
            memcpy(to->trace, from->trace, from->n_traces * sizeof *to->trace);
    }
    return good;
}

static bool phase_make(bp_phase *p, size_t n_parts, size_t n_nodes, size_t n_pairs) {
    p->opened = BP_NONE;
    p->position = calloc(n_parts + 1, sizeof *p->position);
    p->moves = calloc(n_parts + 1, sizeof *p->moves);
    p->volts = calloc(n_nodes + 1, sizeof *p->volts);
    p->raw = calloc(n_pairs + 1, sizeof *p->raw);
    return p->position && p->moves && p->volts && p->raw;
}

bp_phase *bp_result_add(bp_result *result, size_t n_parts, size_t n_nodes, size_t n_pairs) {
    if (result->n_phases == BP_MOST_PHASES)
        return NULL;
    bp_phase *more = realloc(result->phase, (result->n_phases + 1) * sizeof *more);
    if (!more)
        return NULL;
    result->phase = more;
    bp_phase *p = &more[result->n_phases++];
    *p = (bp_phase){0};
    return phase_make(p, n_parts, n_nodes, n_pairs) ? p : NULL;
}

bool bp_phase_make_strays(bp_phase *phase, size_t n_pairs, size_t n_spreads) {
    phase->strays = calloc(n_pairs * n_spreads + 1, sizeof *phase->strays);
    phase->n_spreads = phase->strays ? n_spreads : 0;
    return phase->strays != NULL;
}

void bp_result_cut(bp_result *result, size_t n) {
    for (size_t i = n; i < result->n_phases; i++) {
        free(result->phase[i].position);
        free(result->phase[i].moves);
        free(result->phase[i].volts);
        free(result->phase[i].raw);
        free(result->phase[i].strays);
    }
    if (n < result->n_phases)
        result->n_phases = n;
}

void bp_result_drop_phases(bp_result *result) {
    bp_result_cut(result, 0);
    free(result->phase);
    result->phase = NULL;
}

void bp_result_clear(bp_result *result) {
    bp_result_drop_phases(result);
    free(result->found);
    free(result->values);
    *result = (bp_result){0};
}

void bp_bytes_clear(bp_bytes *bytes) {
    free(bytes->data);
    *bytes = (bp_bytes){0};
}

void bp_bytes_add(bp_bytes *to, const void *what, size_t size) {
    if (to->size + size > to->room && !to->failed) {
        const size_t room = 2 * (to->size + size) + 1024;
        unsigned char *more = realloc(to->data, room);
        if (more)
            to->data = more, to->room = room;
        to->failed = !more;
    }
    if (to->failed || size == 0)
        return;
    memcpy(&to->data[to->size], what, size);
    to->size += size;
}

void bp_bytes_get(bp_bytes *from, void *what, size_t size) {
    if (from->failed || size > from->size - from->at) {
        from->failed = true;
        memset(what, 0, size);
        return;
    }
    memcpy(what, &from->data[from->at], size);
    from->at += size;
}

size_t bp_bytes_get_count(bp_bytes *from, size_t most) {
    size_t n = 0;
    bp_bytes_get(from, &n, sizeof n);
    from->failed = from->failed || n > most;
    return from->failed ? 0 : n;
}

void bp_task_write(const bp_task *task, const bp_circuit *circuit, bp_bytes *to) {
    bp_bytes_add(to, task, sizeof *task); /* the pointers in it mean nothing at the other end */
    bp_bytes_add(to, task->done, circuit->n_parts * sizeof *task->done);
    bp_bytes_add(to, task->known, circuit->n_states * sizeof *task->known);
    bp_bytes_add(to, task->foreseen, circuit->n_states * circuit->n_parts * sizeof *task->foreseen);
    bp_bytes_add(to, task->plan.pair, task->plan.n_pairs * sizeof *task->plan.pair);
    bp_bytes_add(to, task->plan.lead, task->plan.n_leads * sizeof *task->plan.lead);
    bp_bytes_add(to, task->plan.wire, task->plan.n_wires * sizeof *task->plan.wire);
    bp_bytes_add(to, task->trace, task->n_traces * sizeof *task->trace);
}

bool bp_task_read(bp_task *task, const bp_circuit *circuit, bp_bytes *from) {
    bp_bytes_get(from, task, sizeof *task);
    task->done = calloc(circuit->n_parts + 1, sizeof *task->done);
    const bool room = bp_task_make_known(task, circuit);
    bool good = !from->failed && task->plan.n_pairs <= MOST_PAIRS &&
                task->plan.n_leads <= MOST_PAIRS && task->plan.n_wires <= circuit->n_parts &&
                task->n_traces <= MOST_PAIRS;
    if (!good)
        task->plan.n_pairs = task->plan.n_leads = task->plan.n_wires = task->n_traces = 0;
    task->plan.n_probes = 0;
    task->plan.probe = NULL;
    task->trace = calloc(task->n_traces + 1, sizeof *task->trace);
    task->plan.pair = calloc(task->plan.n_pairs + 1, sizeof *task->plan.pair);
    task->plan.lead = calloc(task->plan.n_leads + 1, sizeof *task->plan.lead);
    task->plan.wire = calloc(task->plan.n_wires + 1, sizeof *task->plan.wire);
    if (!good || !room || !task->done || !task->plan.pair || !task->plan.lead || !task->plan.wire ||
        !task->trace) {
        bp_task_clear(task);
        return false;
    }
    bp_bytes_get(from, task->done, circuit->n_parts * sizeof *task->done);
    bp_bytes_get(from, task->known, circuit->n_states * sizeof *task->known);
    bp_bytes_get(from, task->foreseen,
                 circuit->n_states * circuit->n_parts * sizeof *task->foreseen);
    bp_bytes_get(from, task->plan.pair, task->plan.n_pairs * sizeof *task->plan.pair);
    bp_bytes_get(from, task->plan.lead, task->plan.n_leads * sizeof *task->plan.lead);
    bp_bytes_get(from, task->plan.wire, task->plan.n_wires * sizeof *task->plan.wire);
    bp_bytes_get(from, task->trace, task->n_traces * sizeof *task->trace);
    if (from->failed)
        bp_task_clear(task);
    return !from->failed;
}

static void phase_write(const bp_phase *p, const bp_deck *deck, bp_bytes *to) {
    const size_t n_parts = deck->circuit->n_parts;
    bp_bytes_add(to, p, sizeof *p);
    bp_bytes_add(to, p->position, n_parts * sizeof *p->position);
    bp_bytes_add(to, p->moves, n_parts * sizeof *p->moves);
    bp_bytes_add(to, p->volts, deck->n_nodes * sizeof *p->volts);
    bp_bytes_add(to, p->raw, deck->plan.n_pairs * sizeof *p->raw);
    bp_bytes_add(to, p->strays, deck->plan.n_pairs * p->n_spreads * sizeof *p->strays);
}

/* deck: that of the result, which may be NULL when there is no result. */
void bp_result_write(const bp_result *result, const bp_deck *deck, bp_bytes *to) {
    bp_bytes_add(to, &result->status, sizeof result->status);
    bp_bytes_add(to, result->why, sizeof result->why);
    bp_bytes_add(to, &result->n_phases, sizeof result->n_phases);
    bp_bytes_add(to, &result->n_values, sizeof result->n_values);
    if (result->status != BP_OK)
        return;
    bp_bytes_add(to, result->found, deck->circuit->n_parts * sizeof *result->found);
    bp_bytes_add(to, result->values, result->n_values * sizeof *result->values);
    for (size_t i = 0; i < result->n_phases; i++)
        phase_write(&result->phase[i], deck, to);
}

bool bp_positions_are_sane(const int *position, const bp_circuit *circuit) {
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_model *model = bp_models[bp_kind_index(circuit->parts[i].kind)];
        if (position[i] < 0 || (position[i] > 0 && position[i] >= model->n_positions))
            return false;
    }
    return true;
}

static bool raws_are_sane(const bp_raw *raw, size_t n) {
    for (size_t i = 0; i < n; i++)
        if ((unsigned)raw[i].status > BP_READING_NONE || (unsigned)raw[i].why >= BP_N_WHYS ||
            (raw[i].status == BP_READING_OK && !isfinite(raw[i].value)))
            return false;
    return true;
}

static bool volts_are_sane(const double *volts, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (!(fabs(volts[i]) <= BP_SANE_VOLTS))
            return false;
    return true;
}

static bool strays_read(bp_phase *p, const bp_phase *sent, const bp_task *task, const bp_deck *deck,
                        bp_bytes *from) {
    const size_t n_pairs = deck->plan.n_pairs;
    if (!task->moves || sent->n_spreads != bp_spreads_count(deck->circuit) ||
        !bp_phase_make_strays(p, n_pairs, sent->n_spreads))
        return false;
    bp_bytes_get(from, p->strays, n_pairs * p->n_spreads * sizeof *p->strays);
    for (size_t i = 0; i < n_pairs * p->n_spreads; i++)
        if (!isfinite(p->strays[i]))
            return false;
    return true;
}

static bool phase_read(bp_result *result, const bp_task *task, const bp_deck *deck,
                       bp_bytes *from) {
    const bp_circuit *c = deck->circuit;
    bp_phase sent;
    bp_bytes_get(from, &sent, sizeof sent);
    bp_phase *p =
        from->failed ? NULL : bp_result_add(result, c->n_parts, deck->n_nodes, deck->plan.n_pairs);
    if (!p)
        return false;
    p->state = sent.state;
    p->sort = sent.sort;
    p->opened = sent.opened;
    p->seconds = sent.seconds;
    p->way = sent.way;
    p->solved = sent.solved;
    p->chatter = sent.chatter;
    bp_bytes_get(from, p->position, c->n_parts * sizeof *p->position);
    bp_bytes_get(from, p->moves, c->n_parts * sizeof *p->moves);
    bp_bytes_get(from, p->volts, deck->n_nodes * sizeof *p->volts);
    bp_bytes_get(from, p->raw, deck->plan.n_pairs * sizeof *p->raw);
    if (sent.n_spreads > 0 && !strays_read(p, &sent, task, deck, from))
        return false;
    return !from->failed && p->state < c->n_states &&
           (task->state == BP_NONE || p->state == task->state) &&
           (unsigned)p->sort <= BP_PHASE_AFTER &&
           (p->sort == BP_PHASE_WHOLE) == (p->opened == BP_NONE) &&
           (p->opened == BP_NONE || p->opened < c->n_parts) &&
           bp_positions_are_sane(p->position, c) && volts_are_sane(p->volts, deck->n_nodes) &&
           raws_are_sane(p->raw, deck->plan.n_pairs);
}

bool bp_result_read(bp_result *result, const bp_task *task, const bp_deck *deck, bp_bytes *from) {
    const bp_circuit *c = deck->circuit;
    *result = (bp_result){0};
    bp_bytes_get(from, &result->status, sizeof result->status);
    bp_bytes_get(from, result->why, sizeof result->why);
    result->why[sizeof result->why - 1] = '\0';
    const size_t phases = bp_bytes_get_count(from, BP_MOST_PHASES);
    result->n_values = bp_bytes_get_count(from, deck->n_values);
    if (from->failed)
        return false;
    if (result->status != BP_OK)
        return result->status == BP_ERR_SOLVER || result->status == BP_ERR_MEMORY;
    result->found = calloc(c->n_parts + 1, sizeof *result->found);
    result->values = calloc(result->n_values + 1, sizeof *result->values);
    if (!result->found || !result->values)
        return false;
    bp_bytes_get(from, result->found, c->n_parts * sizeof *result->found);
    bp_bytes_get(from, result->values, result->n_values * sizeof *result->values);
    if (from->failed || !bp_positions_are_sane(result->found, c))
        return false;
    for (size_t i = 0; i < phases; i++)
        if (!phase_read(result, task, deck, from))
            return false;
    return from->at == from->size;
}
