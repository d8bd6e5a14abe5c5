/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Instruments that read what only exists in time. The question is asked in steady state first, with
 * a voltmeter, for all that belongs to an answer - the states, the names, what is blown, what
 * people notice, what is refused - and then each state runs, and the readings come from its traces.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/scope.h>

#include "sim/held.h"
#include "sim/lab.h"

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

/* One state's run, as long as the meter needs; the traces are owned by the caller. */
static bp_scope_question run_of(const bp_lab *lab, const bp_question *q, const bp_state_answer *s,
                                bp_scope_trace *traces) {
    const bp_circuit *c = bp_lab_circuit(lab);
    bp_scope_question run = bp_run_of_readings(q, s, traces);
    run.from = 0;
    run.to = bp_instruments[q->instrument]->window(c->states[bp_state_find(c, s->state)].speed);
    return run;
}

/* Runs that are asked for at once; their samples take memory. */
enum { BATCH = 16 };

/* One state of one question, to be run. */
typedef struct turn {
    const bp_question *question;
    bp_state_answer *state;
} turn;

typedef struct turns {
    bp_lab *lab;
    turn turn[BATCH];
    size_t n;
    bp_report *report;
} turns;

static void read_state(const turn *t, const bp_scope_run *run) {
    size_t trace = 0;
    for (size_t i = 0; i < t->state->n_readings; i++) {
        bp_reading *reading = &t->state->readings[i];
        const bool shown = !reading->unloaded;
        if (!t->state->why)
            bp_read_run(reading, t->question->instrument, run, trace);
        trace += shown;
    }
    t->state->n_notices = 0; /* of a standing state: beside what was read in a run they mislead */
}

/* All turns that wait, over the workers. */
static void take_turns(turns *w) {
    bp_scope_question question[BATCH] = {BP_SCOPE_QUESTION_INIT};
    bp_scope_trace *traces[BATCH] = {NULL};
    bp_scope_run *run[BATCH] = {NULL}, *asked[BATCH] = {NULL};
    size_t n = 0, of[BATCH];
    for (size_t i = 0; i < w->n; i++) {
        const turn *t = &w->turn[i];
        traces[i] = calloc(t->state->n_readings + 1, sizeof *traces[i]);
        if (!traces[i] || t->state->why)
            continue;
        question[n] = run_of(w->lab, t->question, t->state, traces[i]);
        if (question[n].n_traces > 0)
            of[n++] = i;
    }
    if (n > 0)
        bp_lab_scope_many(w->lab, question, n, asked, NULL, NULL, w->report);
    for (size_t i = 0; i < n; i++)
        run[of[i]] = asked[i];
    for (size_t i = 0; i < w->n; i++) {
        read_state(&w->turn[i], run[i]);
        bp_scope_run_free(&run[i]);
        free(traces[i]);
    }
    w->n = 0;
}

static void read_answer(turns *w, const bp_question *question, bp_answer *answer) {
    for (size_t i = 0; i < answer->n_states; i++) {
        w->turn[w->n++] = (turn){question, &answer->states[i]};
        if (w->n == BATCH)
            take_turns(w);
    }
}

static bool any_timed(const bp_question *questions, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (is_timed(&questions[i]) || bp_holds_runs(&questions[i]))
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
        if (answers[i] && is_timed(&questions[i]))
            read_answer(&waiting, &questions[i], answers[i]);
    take_turns(&waiting);
    for (size_t i = 0; i < n; i++)
        if (answers[i] && bp_holds_runs(&questions[i]))
            bp_hold_runs(lab, &questions[i], answers[i], report);
    return status;
}
