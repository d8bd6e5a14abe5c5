/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is read in time: by instruments that read what exists nowhere else, and as means of what
 * pulses. The question is asked in steady state first, with a voltmeter, for all that belongs to an
 * answer - the states, the names, what is blown, what people notice, what is refused - and then
 * each state runs, and the readings come from its traces.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/scope.h>

#include "sim/answer.h"
#include "sim/held.h"
#include "sim/instrument.h"
#include "sim/lab.h"
#include "sim/means.h"
#include "sim/model.h"
#include "sim/wave.h"

static bool is_timed(const bp_question *q) {
    return (unsigned)q->instrument < BP_N_INSTRUMENTS &&
           bp_instruments[q->instrument]->over_time != NULL;
}

static void set_none(bp_reading *r, const char *why) {
    r->value = r->low = r->high = NAN;
    r->status = BP_READING_NONE;
    r->why = why;
    strcpy(r->display, "--");
}

const char bp_why_no_run[] = "the run over time came to no end";

void bp_read_run(bp_reading *r, bp_instrument instrument, const bp_scope_run *run, size_t trace) {
    const bp_instrument_def *meter = bp_instruments[instrument];
    r->instrument = instrument;
    r->unit = meter->unit;
    if (r->unloaded) {
        set_none(r, "with its plug open or its part out the circuit does not run");
        return;
    }
    if (!run || run->why) {
        set_none(r, bp_why_no_run);
        return;
    }
    r->value = meter->over_time(run, trace);
    if (isnan(r->value)) {
        set_none(r, "nothing here repeats");
        return;
    }
    r->status = BP_READING_OK;
    r->low = r->value - meter->accuracy(r->value);
    r->high = r->value + meter->accuracy(r->value);
    r->why = NULL;
    meter->show(r->value, r->display, sizeof r->display);
}

bp_scope_question bp_run_of_readings(const bp_question *q, const bp_state_answer *s,
                                     bp_scope_trace *traces) {
    bp_scope_question run = BP_SCOPE_QUESTION_INIT;
    run.state = s->state;
    run.faults = q->faults;
    run.after = q->after;
    run.n_after = q->n_after;
    run.ambient = q->ambient;
    run.engine = q->engine;
    run.supply = q->supply;
    run.traces = traces;
    for (size_t i = 0; i < s->n_readings; i++) {
        const bp_reading *r = &s->readings[i];
        if (!r->unloaded)
            traces[run.n_traces++] = r->instrument == BP_AMPS_CLAMP
                                         ? (bp_scope_trace){.clamp = r->at}
                                         : (bp_scope_trace){.red = r->red, .black = r->black};
    }
    return run;
}

/* Where nothing but a hum goes on, a run of this many of its longest in a state that has lasted is
 * enough, after some that let it come to rest, if both halves of it show the same: to a fifth of
 * what the meter is good for. */
enum { HUMS_BEFORE = 2, HUMS = 4 };
static const double same = 0.2;

/* What has something to do over time that may come late or seldom. A fuse has not. */
static bool is_slow(const bp_model *m) {
    const bool moves = m->n_positions > 1 && m->next && !m->lasting;
    return (moves || (m->wave && m->wave->instant)) && !(m->wave && m->wave->hums);
}

/* Does all that goes on by itself in this circuit repeat many times while a meter measures? */
static bool only_hums(const bp_circuit *c) {
    bool any = false;
    for (size_t i = 0; i < c->n_parts; i++) {
        const bp_model *model = bp_models[bp_kind_index(c->parts[i].kind)];
        if (is_slow(model))
            return false;
        any = any || (model->wave && model->wave->hums);
    }
    return any;
}

/* Half of a run; `traces` has room for its own. */
static bp_scope_run half_of(const bp_scope_run *run, bool second, bp_scope_shown *traces) {
    const double middle = (run->from + run->to) / 2;
    bp_scope_run half = *run;
    size_t first = 0;
    while (first < run->n && run->time[first] < middle)
        first++;
    half.from = second ? middle : run->from;
    half.to = second ? run->to : middle;
    half.n = second ? run->n - first : first;
    half.time = &run->time[second ? first : 0];
    half.traces = traces;
    for (size_t i = 0; i < run->n_traces; i++) {
        traces[i] = run->traces[i];
        traces[i].value = &run->traces[i].value[second ? first : 0];
    }
    return half;
}

static bool has_settled(const bp_scope_run *run, const bp_instrument_def *meter) {
    bp_scope_shown *traces = calloc(2 * run->n_traces + 1, sizeof *traces);
    bool settled = traces && !run->why;
    for (size_t i = 0; settled && i < run->n_traces; i++) {
        const bp_scope_run a = half_of(run, false, traces),
                           b = half_of(run, true, &traces[run->n_traces]);
        const double first = meter->over_time(&a, i), second = meter->over_time(&b, i);
        settled =
            isnan(first) ? isnan(second) : fabs(first - second) <= same * meter->accuracy(second);
    }
    free(traces);
    return settled;
}

/* One state's run, as long as the meter needs or, in brief, as long as a hum needs; the traces are
 * owned by the caller. */
static bp_scope_question run_of(const bp_lab *lab, const bp_question *q, const bp_state_answer *s,
                                bool brief, bp_scope_trace *traces) {
    const bp_circuit *c = bp_lab_circuit(lab);
    const bp_instrument_def *meter = bp_instruments[q->instrument];
    const size_t state = bp_state_find(c, s->state);
    const double speed = c->states[state].speed;
    bp_scope_question run = bp_run_of_readings(q, s, traces);
    run.lasting = brief;
    if (brief) {
        run.from = HUMS_BEFORE * BP_WAVE_HUM;
        run.to = run.from + HUMS * BP_WAVE_HUM;
    } else if (meter->window) {
        run.from = 0;
        run.to = meter->window(speed);
    } else {
        /* Its pulses are those of a state that has lasted where its waveforms end. */
        run.to = fmax(bp_state_waveforms_end(c, state), bp_meter_volts_ac.window(speed));
        run.from = run.to - bp_measuring_time(speed);
    }
    return run;
}

/* Runs that are asked for at once; their samples take memory. */
enum { BATCH = 16 };

/* One state of one question, to be run; `store` is its answer's. */
typedef struct turn {
    const bp_question *question;
    bp_state_answer *state;
    bp_store *store;
} turn;

typedef struct turns {
    bp_lab *lab;
    turn turn[BATCH];
    size_t n;
    bp_report *report;
} turns;

static void read_state(const bp_lab *lab, const turn *t, const bp_scope_run *run) {
    const bool timed = is_timed(t->question);
    size_t trace = 0;
    for (size_t i = 0; i < t->state->n_readings; i++) {
        bp_reading *reading = &t->state->readings[i];
        const bool shown = !reading->unloaded;
        if (!t->state->why && timed)
            bp_read_run(reading, t->question->instrument, run, trace);
        else if (!t->state->why)
            bp_read_mean(reading, run, trace);
        trace += shown;
    }
    if (timed)
        t->state->n_notices = 0; /* of a standing state: beside readings of a run they mislead */
    if (timed || !run || run->why)
        return;
    bp_notice_run(t->store, bp_lab_circuit(lab), t->state, run);
    if (t->question->min_max)
        bp_hold_run(t->store, t->state, run, t->question->peak);
}

/* The runs of those turns that have none yet, over the workers. */
static void run_turns(turns *w, bool brief, bp_scope_run **run) {
    bp_scope_question question[BATCH] = {BP_SCOPE_QUESTION_INIT};
    bp_scope_trace *traces[BATCH] = {NULL};
    bp_scope_run *asked[BATCH] = {NULL};
    size_t n = 0, of[BATCH];
    for (size_t i = 0; i < w->n; i++) {
        const turn *t = &w->turn[i];
        if (run[i] || t->state->why)
            continue;
        traces[n] = calloc(t->state->n_readings + 1, sizeof *traces[n]);
        if (!traces[n])
            continue;
        question[n] = run_of(w->lab, t->question, t->state, brief, traces[n]);
        of[n] = i;
        if (question[n].n_traces > 0)
            n++;
        else
            free(traces[n]);
    }
    if (n > 0)
        bp_lab_scope_many(w->lab, question, n, asked, NULL, NULL, w->report);
    for (size_t i = 0; i < n; i++) {
        run[of[i]] = asked[i];
        free(traces[i]);
    }
}

/* All turns that wait. */
static void take_turns(turns *w) {
    bp_scope_run *run[BATCH] = {NULL};
    if (only_hums(bp_lab_circuit(w->lab)))
        run_turns(w, true, run);
    for (size_t i = 0; i < w->n; i++) /* (no means: what only hums does not pulse) */
        if (run[i] && !has_settled(run[i], bp_instruments[w->turn[i].question->instrument]))
            bp_scope_run_free(&run[i]);
    run_turns(w, false, run);
    for (size_t i = 0; i < w->n; i++) {
        read_state(w->lab, &w->turn[i], run[i]);
        bp_scope_run_free(&run[i]);
    }
    w->n = 0;
}

/* A run ends before a slow fuse does. */
static bool can_run(const bp_state_answer *state) {
    return !state->phase || strncmp(state->phase, "before", strlen("before")) == 0;
}

static void read_answer(turns *w, const bp_question *question, bp_answer *answer) {
    const bool timed = is_timed(question);
    for (size_t i = 0; i < answer->n_states; i++) {
        bp_state_answer *state = &answer->states[i];
        if (!timed &&
            !(can_run(state) && bp_wants_means(question, bp_lab_circuit(w->lab), state->state)))
            continue;
        w->turn[w->n++] = (turn){question, state, bp_answer_store(answer)};
        if (w->n == BATCH)
            take_turns(w);
    }
}

static bool any_timed(const bp_question *questions, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (is_timed(&questions[i]) || questions[i].means || bp_holds_runs(&questions[i]))
            return true;
    return false;
}

bp_status bp_lab_ask_many(bp_lab *lab, const bp_question *questions, size_t n, bp_answer **answers,
                          void (*progress)(void *data, size_t done, size_t of), void *data,
                          bp_report *report) {
    if (!any_timed(questions, n))
        return bp_lab_ask_steady(lab, questions, n, answers, progress, data, report);
    bp_question *steady = calloc(n, sizeof *steady);
    if (!steady)
        return BP_ERR_MEMORY;
    memcpy(steady, questions, n * sizeof *steady);
    for (size_t i = 0; i < n; i++)
        if (is_timed(&questions[i])) {
            steady[i].instrument = BP_VOLTS;
            steady[i].ranges = steady[i].min_max = false;
        }
    const bp_status status = bp_lab_ask_steady(lab, steady, n, answers, progress, data, report);
    free(steady);
    turns waiting = {.lab = lab, .report = report};
    for (size_t i = 0; i < n; i++)
        if (answers[i])
            read_answer(&waiting, &questions[i], answers[i]);
    take_turns(&waiting);
    for (size_t i = 0; i < n; i++)
        if (answers[i] && bp_holds_runs(&questions[i]))
            bp_hold_runs(lab, &questions[i], answers[i], report);
    return status;
}
