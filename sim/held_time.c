/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a meter that keeps its extremes holds while a state runs: a state for which the circuit's
 * file names a waveform is run, and the meter's own slowness taken over every trace.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/scope.h>

#include "sim/answer.h"
#include "sim/held.h"
#include "sim/instrument.h"

/* A meter averages over about a tenth of a second, with its peak mode over a thousandth: data-sheet
 * typical, from memory. */
static const double usual_seconds = 0.1, peak_seconds = 1e-3;

typedef struct extremes {
    double least, least_at, most, most_at; /* values, and when, s */
} extremes;

typedef struct holder {
    bp_lab *lab;
    const bp_circuit *circuit;
    const bp_question *question;
    bp_answer *answer;
    double seconds; /* over which the meter averages */
    bp_report *report;
} holder;

/* How long a state runs, s: its longest waveform, and no less than a meter takes; NAN: the file
 * names none for it. */
static double lasts(const bp_circuit *c, size_t state) {
    const double to = bp_state_waveforms_end(c, state);
    return isnan(to) ? NAN : fmax(to, bp_meter_volts_ac.window(c->states[state].speed));
}

/* The area under a trace from its beginning, which runs straight from sample to sample. */
typedef struct area {
    const double *t, *v;
    size_t n, at; /* the area is known up to sample `at` */
    double sum;
} area;

/* Up to this time, which is not before that of the call before. */
static double area_to(area *a, double time) {
    while (a->at + 2 < a->n && a->t[a->at + 1] <= time) {
        a->sum += (a->t[a->at + 1] - a->t[a->at]) * (a->v[a->at + 1] + a->v[a->at]) / 2;
        a->at++;
    }
    const double dt = time - a->t[a->at];
    const double slope = (a->v[a->at + 1] - a->v[a->at]) / (a->t[a->at + 1] - a->t[a->at]);
    return a->sum + dt * (a->v[a->at] + slope * dt / 2);
}

/* Means over stretches of `seconds`, each of which begins or ends with a sample. */
static void take_means(const bp_scope_run *run, const double *v, double seconds, bool begins,
                       extremes *e) {
    const double *t = run->time;
    area here = {t, v, run->n, 0, 0}, before = here;
    for (size_t i = 0; i < run->n; i++) {
        const double end = begins ? t[i] + seconds : t[i];
        if (end - seconds < t[0] || end > t[run->n - 1])
            continue;
        const double mean = (area_to(&here, end) - area_to(&before, end - seconds)) / seconds;
        if (mean < e->least)
            e->least = mean, e->least_at = end;
        if (mean > e->most)
            e->most = mean, e->most_at = end;
    }
}

static extremes slow_extremes(const bp_scope_run *run, const double *v, double seconds) {
    extremes e = {INFINITY, NAN, -INFINITY, NAN};
    take_means(run, v, seconds, false, &e);
    take_means(run, v, seconds, true, &e);
    return e;
}

/* Beyond what is held by more than the display tells: then this is what is held. */
static const bp_held *beyond(bp_store *store, const bp_reading *r, const bp_held *held,
                             const bp_scope_run *run, double value, double at, bool below) {
    if (!isfinite(value) || (held && isnan(held->value) && !below)) /* OL lies above */
        return held;
    if (held && !isnan(held->value) && (below ? value >= held->value : value <= held->value))
        return held;
    bp_held *now = bp_store_get(store, 1, sizeof *now);
    if (!now)
        return held;
    *now = (bp_held){.value = value, .state = bp_store_copy(store, run->state), .at = at};
    bp_instruments[r->instrument]->show(value, now->display, sizeof now->display);
    return held && strcmp(now->display, held->display) == 0 ? held : now;
}

void bp_hold_run(bp_store *store, bp_state_answer *s, const bp_scope_run *run, bool peak) {
    size_t trace = 0;
    for (size_t i = 0; i < s->n_readings; i++) {
        bp_reading *r = &s->readings[i];
        if (r->unloaded || trace == run->n_traces)
            continue;
        const extremes e =
            slow_extremes(run, run->traces[trace++].value, peak ? peak_seconds : usual_seconds);
        r->minimum = beyond(store, r, r->minimum, run, e.least, e.least_at, true);
        r->maximum = beyond(store, r, r->maximum, run, e.most, e.most_at, false);
    }
}

static bool is_gone_through(const holder *h, size_t state, const bp_state_answer *answered) {
    return bp_state_leads_to(h->circuit, state, bp_state_find(h->circuit, answered->state));
}

static void hold_state(const holder *h, size_t state) {
    bp_answer *a = h->answer;
    bool wanted = false;
    for (size_t i = 0; i < a->n_states; i++)
        wanted = wanted || is_gone_through(h, state, &a->states[i]);
    bp_scope_trace *traces = calloc(a->states[0].n_readings + 1, sizeof *traces);
    if (wanted && traces && !isnan(lasts(h->circuit, state))) {
        bp_scope_question q = bp_run_of_readings(h->question, &a->states[0], traces);
        q.state = h->circuit->states[state].id;
        q.from = -h->seconds;
        q.to = lasts(h->circuit, state);
        bp_scope_run *run = q.n_traces ? bp_lab_scope(h->lab, &q, h->report) : NULL;
        for (size_t i = 0; run && !run->why && i < a->n_states; i++)
            if (!a->states[i].why && is_gone_through(h, state, &a->states[i]))
                bp_hold_run(bp_answer_store(a), &a->states[i], run, h->question->peak);
        bp_scope_run_free(&run);
    }
    free(traces);
}

bool bp_is_held_in_runs(bp_instrument instrument) {
    return instrument == BP_VOLTS || instrument == BP_MILLIVOLTS || instrument == BP_AMPS_CLAMP;
}

bool bp_holds_runs(const bp_question *q) {
    return q->min_max && q->draw == 0 && bp_is_held_in_runs(q->instrument);
}

void bp_hold_runs(bp_lab *lab, const bp_question *question, bp_answer *answer, bp_report *report) {
    const holder h = {.lab = lab,
                      .circuit = bp_lab_circuit(lab),
                      .question = question,
                      .answer = answer,
                      .seconds = question->peak ? peak_seconds : usual_seconds,
                      .report = report};
    for (size_t i = 0; answer->n_states > 0 && i < h.circuit->n_states; i++)
        hold_state(&h, i);
}
