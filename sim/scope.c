/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Questions about waveforms: from words to a task in numbers, over the workers, and back.
 */
#include <backprobe/scope.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/lab.h"
#include "sim/scope_run.h"

/* Time windows, s. */
static const double default_to = 0.1, longest_window = 600, shortest_window = 1e-7;

typedef struct resolver {
    const bp_scope_question *question;
    const bp_circuit *circuit;
    bp_report *report;
    bp_scope_asked *asked;
    bool good;
} resolver;

static void mistake(resolver *r, const char *text) {
    bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "%s", text);
    r->good = false;
}

static void unknown(resolver *r, const char *what, const char *word) {
    bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "there is no %s %s in %s", what, word,
                  r->circuit->id);
    r->good = false;
}

static size_t resolve_lead(resolver *r, const char *name) {
    const size_t point = bp_point_find(r->circuit, name);
    if (point != BP_NONE && (r->circuit->points[point].reach == BP_PLUG_OPEN ||
                             r->circuit->points[point].reach == BP_SOCKET_PART_OUT)) {
        bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0,
                      "point %s is reached with its plug open or its part out, and then the "
                      "circuit does not run: name the pin",
                      name);
        r->good = false;
        return BP_NONE;
    }
    const size_t face =
        point != BP_NONE ? r->circuit->points[point].face : bp_face_find(r->circuit, name);
    if (face == BP_NONE)
        unknown(r, "pin or point", name);
    return face;
}

static void resolve_trace(resolver *r, const bp_scope_trace *from, bp_task_trace *to) {
    *to = (bp_task_trace){BP_NONE, BP_NONE, BP_NONE};
    if (from->clamp) {
        to->clamp = bp_part_find(r->circuit, from->clamp);
        if (to->clamp == BP_NONE)
            unknown(r, "wire", from->clamp);
        else if (r->circuit->parts[to->clamp].kind != &bp_kind_wire)
            mistake(r, "a clamp goes around a wire, and it was put on a part: name the wire");
        if (from->red || from->black)
            mistake(r, "a clamp goes around a wire and has no red or black lead");
    } else if (!from->red) {
        mistake(r, "the red lead is nowhere");
    } else {
        to->red = resolve_lead(r, from->red);
        to->black = from->black ? resolve_lead(r, from->black) : r->circuit->reference;
        if (to->black == BP_NONE && r->good)
            mistake(r, "the circuit has no reference: say where the black lead is");
    }
}

/* The circuit's own waveform of this state, else its first; BP_NONE: it names none. */
static size_t own_waveform(const bp_circuit *c, size_t state) {
    for (size_t i = 0; i < c->n_waveforms; i++)
        if (c->waveforms[i].state == state)
            return i;
    return c->n_waveforms > 0 ? 0 : BP_NONE;
}

static size_t pick_state(resolver *r) {
    const bp_circuit *c = r->circuit;
    if (!r->question->state) {
        const size_t own = own_waveform(c, BP_NONE);
        return own != BP_NONE ? c->waveforms[own].state : c->n_states - 1;
    }
    const size_t state = bp_state_find(c, r->question->state);
    if (state == BP_NONE)
        unknown(r, "state", r->question->state);
    return state;
}

static void pick_window(resolver *r, bp_task *task, size_t own) {
    const bp_scope_question *q = r->question;
    const bp_waveform *w = own == BP_NONE ? NULL : &r->circuit->waveforms[own];
    task->from = !isnan(q->from) ? q->from : w ? w->from : 0;
    task->to = !isnan(q->to) ? q->to : w ? w->to : task->from + default_to;
    task->fineness = q->fineness;
    task->lasting = q->lasting;
    if (!(task->to - task->from >= shortest_window &&
          task->to - fmin(task->from, 0) <= longest_window))
        mistake(r, "the time window ends before it begins, or is shorter than 0.1 µs or longer "
                   "than 10 min");
    if (!(task->fineness >= 0.1 && task->fineness <= 100))
        mistake(r, "fineness: expected 0.1 to 100");
}

static void pick_traces(resolver *r, bp_task *task, size_t own) {
    const bp_scope_question *q = r->question;
    const size_t n = q->traces        ? q->n_traces
                     : own != BP_NONE ? r->circuit->waveforms[own].n_traces
                                      : 0;
    if (n == 0) {
        mistake(r, "nothing is to be shown: name where the red lead is, or the wire for the clamp");
        return;
    }
    task->trace = calloc(n, sizeof *task->trace);
    r->asked->trace = calloc(n, sizeof *r->asked->trace);
    if (!task->trace || !r->asked->trace) {
        mistake(r, "out of memory");
        return;
    }
    task->n_traces = n;
    for (size_t i = 0; i < n; i++) {
        r->asked->trace[i] =
            q->traces ? q->traces[i] : bp_circuit_waveform_trace(r->circuit, own, i);
        resolve_trace(r, &r->asked->trace[i], &task->trace[i]);
    }
}

bool bp_scope_resolve(const bp_scope_question *question, const bp_circuit *circuit,
                      bp_scope_asked *asked, bp_report *report) {
    *asked = (bp_scope_asked){0};
    resolver r = {question, circuit, report, asked, true};
    static const bp_pair no_pairs;
    bp_question steady = BP_QUESTION_INIT;
    const size_t state = pick_state(&r);
    if (!r.good)
        return false;
    steady.state = circuit->states[state].id;
    steady.faults = question->faults;
    steady.after = question->after;
    steady.n_after = question->n_after;
    steady.pairs = &no_pairs;
    steady.ambient = question->ambient;
    steady.engine = question->engine;
    steady.supply = question->supply;
    if (bp_question_resolve(&steady, circuit, &asked->steady, report) != BP_OK)
        return false;
    bp_task *task = &asked->steady.task[0];
    const size_t own = own_waveform(circuit, state);
    task->in_time = true;
    pick_window(&r, task, own);
    pick_traces(&r, task, own);
    if (!r.good)
        bp_scope_asked_clear(asked);
    return r.good;
}

void bp_scope_asked_clear(bp_scope_asked *asked) {
    free(asked->trace);
    bp_asked_clear(&asked->steady);
    *asked = (bp_scope_asked){0};
}

typedef struct batch {
    bp_lab *lab;
    const bp_circuit *circuit;
    bp_scope_asked *asked; /* by question; no task where the question is wrong */
    bp_scope_run **run;
    size_t n, done;
    bp_status status;
    void (*progress)(void *data, size_t done, size_t of);
    void *progress_data;
} batch;

static bool make_job(void *data, size_t i, bp_bytes *request) {
    batch *b = data;
    if (b->asked[i].steady.n_tasks == 0)
        return false;
    bp_task *task = &b->asked[i].steady.task[0];
    task->mishap = bp_lab_take_mishap(b->lab);
    bp_task_write(task, b->circuit, request);
    return true;
}

static bool take_reply(void *data, size_t i, bp_bytes *reply, const char *why) {
    batch *b = data;
    const bp_task *task = &b->asked[i].steady.task[0];
    bp_wave_result result = {0};
    bp_plan plan;
    bool good = true;
    const bp_deck *deck = NULL;
    if (bp_wave_plan(task, b->circuit, &plan)) {
        deck = bp_lab_deck(b->lab, &plan);
        bp_plan_clear(&plan);
    }
    if (!why && !deck)
        why = "out of memory";
    else if (!why && !bp_wave_result_read(&result, task, deck, reply)) {
        why = "the solver's process sent nonsense; it was replaced";
        good = false;
    } else if (!why && result.status != BP_OK)
        why = result.why;
    b->run[i] = bp_scope_make(b->circuit, &b->asked[i], deck, &result, why);
    if (!b->run[i])
        b->status = BP_ERR_MEMORY;
    bp_wave_result_clear(&result);
    b->done++;
    if (b->progress)
        b->progress(b->progress_data, b->done, b->n);
    return good;
}

/* An action that would do harm is refused as in steady state. */
static bool is_harmless(bp_lab *lab, const bp_scope_asked *asked, const bp_scope_question *q,
                        bp_report *report) {
    if (q->n_after == 0)
        return true;
    static const bp_pair no_pairs;
    bp_question steady = BP_QUESTION_INIT;
    steady.state = bp_lab_circuit(lab)->states[asked->steady.task[0].state].id;
    steady.faults = q->faults;
    steady.after = q->after;
    steady.n_after = q->n_after;
    steady.pairs = &no_pairs;
    bp_answer *answer = bp_lab_ask(lab, &steady, report);
    const bool good = answer != NULL;
    bp_answer_free(&answer);
    return good;
}

bp_status bp_lab_scope_many(bp_lab *lab, const bp_scope_question *questions, size_t n,
                            bp_scope_run **scopes,
                            void (*progress)(void *data, size_t done, size_t of), void *data,
                            bp_report *report) {
    batch b = {.lab = lab,
               .circuit = bp_lab_circuit(lab),
               .run = scopes,
               .n = n,
               .status = BP_OK,
               .progress = progress,
               .progress_data = data};
    memset(scopes, 0, n * sizeof *scopes);
    b.asked = calloc(n + 1, sizeof *b.asked);
    if (!b.asked)
        return BP_ERR_MEMORY;
    for (size_t i = 0; i < n; i++)
        if (!bp_scope_resolve(&questions[i], b.circuit, &b.asked[i], report)) {
            b.status = BP_ERR_USAGE;
            b.done++;
        } else if (!is_harmless(lab, &b.asked[i], &questions[i], report)) {
            bp_scope_asked_clear(&b.asked[i]);
            b.status = BP_ERR_USAGE;
            b.done++;
        }
    if (n > 1)
        bp_pool_start(bp_lab_pool(lab));
    const bp_jobs jobs = {.n = n, .data = &b, .make = make_job, .take = take_reply};
    if (bp_pool_run(bp_lab_pool(lab), &jobs) != BP_OK) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "the solver's process cannot be started again; see `backprobe doctor`");
        b.status = BP_ERR_SOLVER;
    }
    for (size_t i = 0; i < n; i++)
        bp_scope_asked_clear(&b.asked[i]);
    bp_lab_forget_decks(lab);
    free(b.asked);
    return b.status;
}

bp_scope_run *bp_lab_scope(bp_lab *lab, const bp_scope_question *question, bp_report *report) {
    bp_scope_run *run = NULL;
    bp_lab_scope_many(lab, question, 1, &run, NULL, NULL, report);
    return run;
}
