/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/wave_run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/wave_inside.h"

/* A window has at least so many steps, so that slow waveforms are smooth. */
enum { LEAST_STEPS = 300 };
/* The share of the window that a run begins before it. */
enum { QUIET = 1000 };
/* How much finer a second attempt is. */
#define FINER 1.4

static bool is_high_voltage(const bp_circuit *circuit, size_t face) {
    const bp_face *f = &circuit->faces[face];
    const bp_pin_decl *pins = circuit->parts[f->part].kind->pins;
    for (size_t i = 0; pins && pins[i].name; i++)
        if (i == f->pin)
            return pins[i].high_voltage;
    return false;
}

bool bp_wave_plan(const bp_task *task, const bp_circuit *circuit, bp_plan *plan) {
    if (!bp_plan_copy(plan, &task->plan))
        return false;
    plan->in_time = true;
    plan->n_pairs = 0;
    size_t(*probe)[2] = realloc(plan->probe, (task->n_traces + 1) * sizeof *probe);
    if (probe)
        plan->probe = probe;
    bool good = probe != NULL;
    for (size_t i = 0; good && i < task->n_traces; i++) {
        const bp_task_trace *t = &task->trace[i];
        if (t->clamp != BP_NONE) {
            good = bp_plan_add_clamped(plan, circuit, t->clamp);
        } else if (!is_high_voltage(circuit, t->red) && !is_high_voltage(circuit, t->black)) {
            probe[plan->n_probes][0] = t->red;
            probe[plan->n_probes++][1] = t->black;
        }
    }
    if (!good)
        bp_plan_clear(plan);
    return good;
}

/* The longest that a part asks for, s. */
static double run_up_of(const bp_circuit *circuit) {
    double run_up = 0;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_wave_model *wave = bp_models[bp_kind_index(circuit->parts[i].kind)]->wave;
        run_up = fmax(run_up, wave ? wave->run_up : 0);
    }
    return run_up;
}

/* The state in which the run begins; BP_NONE: nothing is switched. */
static size_t before_of(const bp_circuit *circuit, const bp_task *task) {
    return task->lasting ? task->state : circuit->states[task->state].from;
}

/* Settings of the state before in the surroundings of the one asked for. */
static void enter_at_start(bp_case *c, const bp_circuit *circuit, const bp_task *task) {
    const size_t before = before_of(circuit, task);
    bp_case_enter(c, task->state, &task->conditions);
    memset(c->setting, 0, circuit->n_parts * sizeof *c->setting);
    if (before == BP_NONE)
        return;
    const bp_state *s = &circuit->states[before];
    for (size_t i = 0; i < s->n_settings; i++)
        c->setting[s->settings[i].part] = s->settings[i].setting;
}

/* The bench's case comes to rest from where it stands; false: it does not. */
static bool settle_here(bp_bench *b) {
    bp_case_values(b->c, b->rig.values);
    bp_settled settled = bp_settle(b->c, &b->rig, NAN);
    const bool good = settled.rest == BP_REST_FOUND || settled.rest == BP_REST_CHATTER;
    bp_settled_clear(&settled);
    return good;
}

/* Where relays and fuses stand before time 0, into position. What needs a run-up has been in the
 * surroundings of the run for long, so all has come to rest in them. */
static bool settle_before(bp_run *run, int *position) {
    bp_bench *b = run->bench;
    const size_t before = before_of(run->circuit, run->task);
    const size_t n = run->circuit->n_parts;
    bp_task steady = *run->task;
    steady.in_time = false;
    steady.state = before == BP_NONE ? run->task->state : before;
    bp_result r;
    bp_run_task(b, &steady, &r);
    bool good = r.status == BP_OK && r.n_phases > 0;
    if (good && before != BP_NONE) {
        const bp_phase *last = &r.phase[r.n_phases - 1];
        good = last->solved;
        memcpy(b->c->position, last->position, n * sizeof *position);
    } else if (good) {
        memcpy(b->c->position, r.found, n * sizeof *position);
        bp_case_enter(b->c, BP_NONE, &run->task->conditions);
        good = settle_here(b);
    }
    if (good && run_up_of(run->circuit) > 0) {
        enter_at_start(b->c, run->circuit, run->task);
        good = settle_here(b);
    }
    memcpy(position, b->c->position, n * sizeof *position);
    if (!good)
        bp_run_give_up(run, "%s", r.why[0] ? r.why : "the state before has no solution");
    bp_result_clear(&r);
    return good;
}

static bool is_lively(const bp_run *run, size_t part) {
    const bp_model *model = bp_models[bp_kind_index(run->circuit->parts[part].kind)];
    if (model->wave && model->wave->instant)
        return true;
    return model->n_positions > 1 && model->next && !(model->wave && model->wave->own_positions);
}

static bool make_room(bp_run *run) {
    const size_t n = run->circuit->n_parts + 1;
    run->setting_then = calloc(n, sizeof *run->setting_then);
    run->memory_at = calloc(n, sizeof *run->memory_at);
    run->lively = calloc(n, sizeof *run->lively);
    run->wake = calloc(n, sizeof *run->wake);
    run->fine = calloc(n, sizeof *run->fine);
    run->progress = calloc(n, sizeof *run->progress);
    run->wish = calloc(n, sizeof *run->wish);
    run->ramp_ends = calloc(n, sizeof *run->ramp_ends);
    if (!run->setting_then || !run->memory_at || !run->lively || !run->wake || !run->fine ||
        !run->progress || !run->wish || !run->ramp_ends)
        return false;
    run->memory = calloc(bp_wave_memory(run->circuit, run->memory_at) + 1, sizeof *run->memory);
    run->values = calloc(run->deck->n_values + 1, sizeof *run->values);
    run->wanted = calloc(run->deck->n_values + 1, sizeof *run->wanted);
    run->volts = calloc(run->deck->n_nodes + 1, sizeof *run->volts);
    run->lead = calloc(run->deck->n_values + 1, sizeof *run->lead);
    return run->memory && run->values && run->wanted && run->volts && run->lead &&
           bp_run_record_begin(run);
}

static void clear(bp_run *run) {
    free(run->setting_then);
    free(run->memory_at);
    free(run->lively);
    free(run->wake);
    free(run->fine);
    free(run->progress);
    free(run->wish);
    free(run->ramp_ends);
    free(run->memory);
    free(run->values);
    free(run->wanted);
    free(run->volts);
    free(run->lead);
    bp_case_free(&run->c);
    bp_deck_free(&run->deck);
}

/* The case at the start. */
static void enter_before(bp_run *run) {
    bp_case *c = run->c;
    const size_t n = run->circuit->n_parts;
    c->faults = run->task->faults;
    memcpy(c->done, run->task->done, n * sizeof *c->done);
    c->memory = run->memory;
    c->memory_at = run->memory_at;
    bp_case_enter(c, run->task->state, &run->task->conditions);
    memcpy(run->setting_then, c->setting, n * sizeof *c->setting);
    enter_at_start(c, run->circuit, run->task);
}

static void begin_parts(bp_run *run) {
    for (size_t i = 0; i < run->circuit->n_parts; i++) {
        const bp_model *model = bp_models[bp_kind_index(run->circuit->parts[i].kind)];
        run->wish[i] = -1;
        run->ramp_ends[i] = -INFINITY;
        run->wake[i] = run->fine[i] = INFINITY;
        if (is_lively(run, i))
            run->lively[run->n_lively++] = i;
        if (!model->wave || !model->wave->begin)
            continue;
        bp_moment m = bp_run_moment(run, i);
        m.view.values = m.view.volts = NULL;
        model->wave->begin(&m);
    }
}

static double give_source(void *data, size_t value, double time) {
    const bp_run *run = data;
    return bp_run_source(run, value, run->start + time);
}

static double give_step(void *data, double time, double wanted) {
    (void)time;
    return bp_run_step(data, wanted);
}

static bool take_point(void *data, double time, const double *volts) {
    bp_run *run = data;
    run->before = run->seen ? run->now : run->start;
    run->now = run->start + time;
    run->seen = true;
    memcpy(run->volts, volts, run->deck->n_nodes * sizeof *volts);
    bp_run_update(run);
    bp_run_record(run);
    bp_run_instant(run);
    return !run->why[0];
}

static bool solve(bp_run *run) {
    const bp_watch watch = {run, give_source, give_step, take_point};
    const bp_extent extent = {.seconds = run->task->to - run->start,
                              .longest = (run->task->to - run->start) / LEAST_STEPS,
                              .fineness = run->task->fineness};
    const bool good =
        bp_session_run(run->bench->rig.session, run->deck, run->values, &extent, &watch);
    if (!good)
        bp_run_give_up(run, "%s", bp_session_why(run->bench->rig.session));
    return good && !run->why[0];
}

static bool prepare(bp_run *run) {
    bp_plan plan;
    if (!bp_wave_plan(run->task, run->circuit, &plan))
        return false;
    run->deck = bp_deck_new(run->circuit, &plan);
    bp_plan_clear(&plan);
    run->c = run->deck ? bp_case_new(run->circuit, run->deck) : NULL;
    return run->c && make_room(run);
}

/* The first step after the operating point must find everything at rest: taken into a switching, it
 * was seen to leave an ampere too much in a coil. */
static double start_of(const bp_circuit *circuit, const bp_task *task) {
    return fmin(task->from, -run_up_of(circuit)) - (task->to - task->from) / QUIET;
}

static void attempt(bp_bench *bench, const bp_task *task, bp_wave_result *result) {
    *result = (bp_wave_result){.status = BP_OK};
    bp_run run = {.bench = bench,
                  .task = task,
                  .result = result,
                  .circuit = bench->circuit,
                  .start = start_of(bench->circuit, task),
                  .now = start_of(bench->circuit, task),
                  .last_ramp = -INFINITY};
    bool good = prepare(&run);
    if (!good)
        bp_run_give_up(&run, "out of memory");
    if (good && settle_before(&run, run.c->position)) {
        enter_before(&run);
        begin_parts(&run);
        bp_run_find_live(&run);
        good = solve(&run) && bp_run_record_end(&run);
    }
    /* The solver now holds the deck in time, or none. */
    bp_bench_clear(bench);
    if (!good || run.why[0]) {
        bp_wave_result_clear(result);
        result->status = BP_ERR_SOLVER;
        snprintf(result->why, sizeof result->why, "%s", run.why[0] ? run.why : "out of memory");
    }
    clear(&run);
}

void bp_run_wave(bp_bench *bench, const bp_task *task, bp_wave_result *result) {
    attempt(bench, task, result);
    if (result->status == BP_OK || bp_session_lost(bench->rig.session))
        return;
    /* Other steps may lead round the place where these found no way. */
    bp_task finer = *task;
    finer.fineness *= FINER;
    attempt(bench, &finer, result);
}
