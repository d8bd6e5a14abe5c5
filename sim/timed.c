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

static void set_reading(bp_reading *r, bp_instrument instrument, const bp_scope_run *run,
                        size_t trace) {
    const bp_instrument_def *meter = bp_instruments[instrument];
    r->instrument = instrument;
    r->unit = meter->unit;
    if (r->unloaded) {
        set_none(r, "with its plug open or its part out the circuit does not run");
        return;
    }
    if (!run || run->why) {
        set_none(r, "the run over time came to no end");
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

/* One state's run; the traces are owned by the caller. */
static bp_scope_question run_of(const bp_lab *lab, const bp_question *q, const bp_state_answer *s,
                                bp_scope_trace *traces) {
    const bp_circuit *c = bp_lab_circuit(lab);
    bp_scope_question run = BP_SCOPE_QUESTION_INIT;
    run.state = s->state;
    run.faults = q->faults;
    run.after = q->after;
    run.n_after = q->n_after;
    run.ambient = q->ambient;
    run.engine = q->engine;
    run.supply = q->supply;
    run.from = 0;
    run.to = bp_instruments[q->instrument]->window(c->states[bp_state_find(c, s->state)].speed);
    run.traces = traces;
    for (size_t i = 0; i < s->n_readings; i++)
        if (!s->readings[i].unloaded)
            traces[run.n_traces++] =
                (bp_scope_trace){s->readings[i].red, s->readings[i].black, NULL};
    return run;
}

static void read_state(bp_lab *lab, const bp_question *q, bp_state_answer *s, bp_report *report) {
    bp_scope_trace *traces = calloc(s->n_readings + 1, sizeof *traces);
    bp_scope_run *run = NULL;
    if (traces && !s->why) {
        const bp_scope_question question = run_of(lab, q, s, traces);
        if (question.n_traces > 0)
            run = bp_lab_scope(lab, &question, report);
    }
    size_t trace = 0;
    for (size_t i = 0; i < s->n_readings; i++) {
        const bool shown = !s->readings[i].unloaded;
        if (!s->why)
            set_reading(&s->readings[i], q->instrument, run, trace);
        trace += shown;
    }
    s->n_notices = 0; /* of a standing state: they would mislead beside what was read in a run */
    bp_scope_run_free(&run);
    free(traces);
}

static bool any_timed(const bp_question *questions, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (is_timed(&questions[i]))
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
            steady[i].ranges = false;
        }
    const bp_status status = bp_lab_ask_steady(lab, steady, n, answers, progress, data, report);
    free(steady);
    for (size_t i = 0; i < n; i++)
        for (size_t s = 0; answers[i] && is_timed(&questions[i]) && s < answers[i]->n_states; s++)
            read_state(lab, &questions[i], &answers[i]->states[s], report);
    return status;
}
