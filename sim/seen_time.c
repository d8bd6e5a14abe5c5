/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What tells a fault over time. Each waveform that the circuit's file names is taken of the good
 * and of the faulted circuit; meters that need time are put where its traces are. How far good
 * parts scatter is not worked out in time: a tenth is what they may differ by (common practice).
 */
#include "sim/seen_private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/scope.h>

#include "sim/instrument.h"
#include "sim/noticed.h"

/* Runs that are asked for at once; their samples take memory. */
enum { BATCH = 16 };

static const double scatter = 0.1;
/* What an oscilloscope's own noise hides, V or A: common practice. */
static const double noise = 0.05;

/* One run for every fault: a waveform as the file has it, or as long as meters need. Meters tell
 * nothing that the waveform does not: they are left out where one thing that tells is enough. */
typedef struct view {
    bp_scope_question question;
    bool metered;
} view;

static size_t n_views(const bp_seer *s) {
    return (s->first ? 1 : 2) * bp_circuit_n_waveforms(s->circuit);
}

size_t bp_seer_n_runs(const bp_seer *s) { return s->n * n_views(s); }

/* Meters have leads: clamps are left out. False: nothing is left of it. */
static bool make_view(bp_seer *s, size_t index, view *v) {
    const size_t n = bp_circuit_n_waveforms(s->circuit), waveform = index % n;
    const bp_waveform_info info = bp_circuit_waveform_info(s->circuit, waveform);
    bp_scope_trace *trace = bp_store_get(&s->store, info.n_traces, sizeof *trace);
    *v = (view){.question = BP_SCOPE_QUESTION_INIT, .metered = index >= n};
    for (size_t t = 0; trace && t < info.n_traces; t++) {
        trace[v->question.n_traces] = bp_circuit_waveform_trace(s->circuit, waveform, t);
        v->question.n_traces += !v->metered || trace[v->question.n_traces].red;
    }
    v->question.traces = trace;
    v->question.state = info.state;
    v->question.from = v->metered ? 0 : info.from;
    const size_t state = bp_state_find(s->circuit, info.state);
    v->question.to =
        v->metered ? bp_meter_volts_ac.window(s->circuit->states[state].speed) : info.to;
    return trace && v->question.n_traces > 0;
}

/* Values on a trace are held against the height of the good picture with its zero line. */
static double may_differ(const bp_scope_run *good, const bp_feature *f) {
    if (f->trace == BP_SCOPE_NO_TRACE || f->unit != good->traces[f->trace].unit)
        return scatter * fabs(f->value);
    const bp_feature *top = bp_scope_feature(good, f->trace, "highest");
    const bp_feature *foot = bp_scope_feature(good, f->trace, "lowest");
    const double height = top && foot ? fmax(top->value, 0) - fmin(foot->value, 0) : 0;
    return fmax(scatter * height, noise);
}

static bool measures_otherwise(const bp_scope_run *good, const bp_scope_run *bad) {
    for (size_t i = 0; i < good->n_features; i++) {
        const bp_feature *was = &good->features[i], *is = bp_scope_same(bad, was);
        if (!is || fabs(is->value - was->value) > may_differ(good, was))
            return true;
    }
    for (size_t i = 0; i < bad->n_features; i++)
        if (!bp_scope_same(good, &bad->features[i]))
            return true;
    return false;
}

/* Something happens in one that never happens in the other. */
static bool happens_only_here(const bp_scope_run *here, const bp_scope_run *other) {
    for (size_t i = 0; i < here->n_events; i++) {
        bool found = false;
        for (size_t k = 0; k < other->n_events && !found; k++)
            found = strcmp(here->events[i].part, other->events[k].part) == 0 &&
                    strcmp(here->events[i].id, other->events[k].id) == 0;
        if (!found)
            return true;
    }
    return false;
}

static void judge_picture(const bp_scope_run *good, const bp_scope_run *bad, bp_seen *seen) {
    seen->senses |=
        bp_senses_of_notices(good->notices, good->n_notices, bad->notices, bad->n_notices);
    if (measures_otherwise(good, bad) || happens_only_here(good, bad) ||
        happens_only_here(bad, good))
        seen->scope = true;
}

static void judge_meter(const bp_scope_run *good, const bp_scope_run *bad, bp_instrument meter,
                        size_t trace, bp_seen *seen) {
    bp_reading was = {.instrument = meter}, is = {.instrument = meter};
    bp_read_run(&was, meter, good, trace);
    bp_read_run(&is, meter, bad, trace);
    was.low = fmin(was.low, was.value - scatter * fabs(was.value));
    was.high = fmax(was.high, was.value + scatter * fabs(was.value));
    if (bp_reading_tells(&was, &is))
        seen->instruments |= 1u << meter;
}

static void judge(const view *v, const bp_scope_run *good, const bp_scope_run *bad, bp_seen *seen) {
    static const bp_instrument meters[] = {BP_VOLTS_AC, BP_DUTY, BP_HERTZ};
    if (bad->why)
        return;
    seen->solved = true;
    if (!v->metered)
        judge_picture(good, bad, seen);
    for (size_t m = 0; v->metered && m < sizeof meters / sizeof *meters; m++)
        for (size_t t = 0; t < good->n_traces; t++)
            judge_meter(good, bad, meters[m], t, seen);
}

static void ask(bp_seer *s, const bp_scope_question *question, size_t n, bp_scope_run **run) {
    const bp_status status = bp_lab_scope_many(s->lab, question, n, run, bp_seer_step, s, NULL);
    if (status == BP_ERR_MEMORY || status == BP_ERR_SOLVER)
        s->status = status;
}

/* The good circuit as warm as the fault's own condition wants it. */
static bp_scope_run *good_for(bp_seer *s, const bp_scope_question *q) {
    bp_scope_question good = *q;
    bp_scope_run *run = NULL;
    good.faults = NULL;
    good.after = NULL;
    good.n_after = 0;
    ask(s, &good, 1, &run);
    if (run && run->why)
        bp_scope_run_free(&run);
    return run;
}

static void look_at_batch(bp_seer *s, const view *v, const bp_scope_run *good, const size_t *which,
                          size_t n) {
    const char *after[BATCH][1];
    bp_scope_question question[BATCH] = {BP_SCOPE_QUESTION_INIT};
    bp_scope_run *run[BATCH] = {NULL};
    for (size_t i = 0; i < n; i++) {
        question[i] = v->question;
        question[i].faults = s->faults[which[i]];
        question[i].after = after[i];
        bp_seer_provoke(s, which[i], after[i], &question[i].n_after, &question[i].engine);
    }
    ask(s, question, n, run);
    s->done += n;
    for (size_t i = 0; i < n; i++) {
        bp_scope_run *own = isnan(question[i].engine) || !run[i] ? NULL : good_for(s, &question[i]);
        if (run[i] && (own || isnan(question[i].engine)))
            judge(v, own ? own : good, run[i], &s->seen[which[i]]);
        bp_scope_run_free(&own);
        bp_scope_run_free(&run[i]);
    }
}

static void use_view(bp_seer *s, const view *v) {
    size_t which[BATCH], n = 0;
    bp_scope_run *good = good_for(s, &v->question);
    for (size_t i = 0; good && i < s->n && s->status == BP_OK; i++) {
        if (!s->first || !bp_seen_told(&s->seen[i]))
            which[n++] = i;
        if (n == BATCH || (i + 1 == s->n && n > 0)) {
            look_at_batch(s, v, good, which, n);
            n = 0;
        }
    }
    bp_scope_run_free(&good);
}

void bp_seer_look_over_time(bp_seer *s) {
    for (size_t i = 0; i < n_views(s) && s->status == BP_OK; i++) {
        view v;
        if (make_view(s, i, &v))
            use_view(s, &v);
    }
}
