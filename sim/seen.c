/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <backprobe/seen.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/fault.h"
#include "sim/case.h"
#include "sim/instrument.h"
#include "sim/looks.h"
#include "sim/noticed.h"

/* Questions that are asked at once. */
enum { BATCH = 64 };

/* Engine this much beyond a temperature at which a fault comes or goes, K. */
#define BEYOND 5.0

typedef struct seer {
    bp_lab *lab;
    const bp_circuit *circuit;
    const char *const *faults;
    bp_fault *fault; /* by fault: parsed */
    size_t n;
    bp_seen *seen;
    bp_store store;
    bp_look *look;
    size_t n_looks;
    size_t done, of; /* questions, for the progress: at most so many */
    void (*progress)(void *data, size_t done, size_t of);
    void *data;
    bp_status status;
} seer;

/* A fault that the instrument has told already need not be looked at again; the first look is there
 * for the senses as well. */
static bool concerns(const seer *s, const bp_look *look, size_t i) {
    return (look->part == BP_NONE || look->part == s->fault[i].part) &&
           !(s->seen[i].instruments & 1u << look->question.instrument);
}

/* Faults that are still to be looked at like this. */
static size_t n_concerned(const seer *s, const bp_look *look) {
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++)
        n += concerns(s, look, i);
    return n;
}

/* The question for one fault: what comes and goes is provoked. `after` is room for its actions. */
static bp_question question_for(seer *s, const bp_look *look, size_t i, const char **after) {
    static const char *const verbs[] = {
        [BP_TUGGED] = "tug", [BP_HEATED] = "heat", [BP_COOLED] = "cool", [BP_WET] = "wet"};
    const bp_fault *fault = &s->fault[i];
    bp_question q = look->question;
    bp_when_sort when = fault->when;
    memcpy(after, look->after, sizeof look->after);
    q.after = after;
    q.faults = s->faults[i];
    if (when == BP_ALWAYS && bp_fault_rests(s->circuit, fault))
        when = BP_TUGGED;
    if (when == BP_ENGINE_ABOVE)
        q.engine = fault->when_value + BEYOND;
    else if (when == BP_ENGINE_BELOW)
        q.engine = fault->when_value - BEYOND;
    else if (when != BP_ALWAYS)
        after[q.n_after++] =
            bp_store_print(&s->store, "%s %s", verbs[when], s->circuit->parts[fault->part].id);
    return q;
}

/* The last entry of a state: what stays when a slow fuse has opened. */
static const bp_state_answer *last_of(const bp_answer *a, const char *state) {
    const bp_state_answer *found = NULL;
    for (size_t i = 0; i < a->n_states; i++)
        if (strcmp(a->states[i].state, state) == 0)
            found = &a->states[i];
    return found;
}

/* Does the display leave what good circuits show? A reading without a result tells by its reason,
 * if that is the meter's: that the circuit could not be solved tells nobody anything. */
static bool tells(const bp_reading *good, const bp_reading *bad) {
    char unsolved[80];
    if (good->status == BP_READING_NONE || bad->status == BP_READING_NONE) {
        const bp_reading *none = good->status == BP_READING_NONE ? good : bad;
        bp_why_write(BP_WHY_UNSOLVED, NAN, unsolved, sizeof unsolved);
        return good->status != bad->status && (!none->why || strcmp(none->why, unsolved) != 0);
    }
    if (good->status == BP_READING_OK &&
        bp_instruments[good->instrument]->accuracy(good->value) == 0)
        return strcmp(good->display, bad->display) != 0; /* off, dim, bright: no range to leave */
    return good->status != bad->status || bp_reading_mark(good, bad) != 0;
}

static void judge(const bp_answer *good, const bp_answer *bad, bool senses, bp_seen *seen) {
    for (size_t i = 0; i < bad->n_states; i++) {
        const bp_state_answer *b = &bad->states[i], *g = last_of(good, b->state);
        if (!g || g->why || b->why)
            continue;
        seen->solved = true;
        if (senses)
            seen->senses |= bp_senses_telling(g, b);
        for (size_t k = 0; k < b->n_readings && k < g->n_readings; k++)
            if (tells(&g->readings[k], &b->readings[k]))
                seen->instruments |= 1u << b->readings[k].instrument;
    }
}

static void step(void *data, size_t done, size_t of) {
    const seer *s = data;
    (void)of;
    if (s->progress)
        s->progress(s->data, s->done + done, s->of);
}

/* A question that is refused (the action would do harm with this fault) tells nothing; a solver
 * that is gone ends all. */
static void ask(seer *s, const bp_question *question, size_t n, bp_answer **answer,
                void (*told)(void *data, size_t done, size_t of)) {
    const bp_status status = bp_lab_ask_many(s->lab, question, n, answer, told, s, NULL);
    if (status == BP_ERR_MEMORY || status == BP_ERR_SOLVER)
        s->status = status;
}

/* The good circuit as warm as the fault's own condition wants it; else the one that serves all. */
static bp_answer *good_for(seer *s, const bp_question *q) {
    bp_question good = *q;
    bp_answer *answer = NULL;
    good.faults = NULL;
    good.ranges = true;
    ask(s, &good, 1, &answer, NULL);
    return answer;
}

static void look_at_batch(seer *s, const bp_look *look, const bp_answer *good, const size_t *which,
                          size_t n) {
    const char *after[BATCH][BP_LOOK_ACTIONS + 1];
    bp_question question[BATCH] = {BP_QUESTION_INIT};
    bp_answer *answer[BATCH] = {NULL};
    for (size_t i = 0; i < n; i++)
        question[i] = question_for(s, look, which[i], after[i]);
    ask(s, question, n, answer, step);
    s->done += n;
    for (size_t i = 0; i < n; i++) {
        bp_answer *own = isnan(question[i].engine) || !answer[i] ? NULL : good_for(s, &question[i]);
        if (answer[i] && (own || isnan(question[i].engine)))
            judge(own ? own : good, answer[i], look == s->look, &s->seen[which[i]]);
        bp_answer_free(&own);
        bp_answer_free(&answer[i]);
    }
}

static void use_look(seer *s, const bp_look *look) {
    size_t which[BATCH], n = 0;
    bp_question q = look->question;
    q.after = look->after;
    if (n_concerned(s, look) == 0)
        return;
    bp_answer *good = good_for(s, &q);
    for (size_t i = 0; good && i < s->n && s->status == BP_OK; i++) {
        if (concerns(s, look, i))
            which[n++] = i;
        if (n == BATCH || (i + 1 == s->n && n > 0)) {
            look_at_batch(s, look, good, which, n);
            n = 0;
        }
    }
    bp_answer_free(&good);
}

static void parse(seer *s, bp_report *report) {
    char why[400];
    for (size_t i = 0; i < s->n && s->status == BP_OK; i++) {
        bp_fault_case one;
        if (bp_fault_parse(s->circuit, s->faults[i], &one, why, sizeof why) == BP_OK && one.n == 1)
            s->fault[i] = one.fault[0];
        else {
            bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s is not a single fault of %s",
                          s->faults[i], s->circuit->id);
            s->status = BP_ERR_USAGE;
        }
    }
}

bp_status bp_seen_compute(bp_lab *lab, const char *const *faults, size_t n, bp_seen *seen,
                          void (*progress)(void *data, size_t done, size_t of), void *data,
                          bp_report *report) {
    seer s = {.lab = lab,
              .circuit = bp_lab_circuit(lab),
              .faults = faults,
              .fault = calloc(n + 1, sizeof *s.fault),
              .n = n,
              .seen = seen,
              .progress = progress,
              .data = data};
    memset(seen, 0, n * sizeof *seen);
    if (!s.fault || !bp_looks_make(s.circuit, &s.store, &s.look, &s.n_looks))
        s.status = BP_ERR_MEMORY;
    else
        parse(&s, report);
    for (size_t i = 0; s.status == BP_OK && i < s.n_looks; i++)
        s.of += n_concerned(&s, &s.look[i]);
    for (size_t i = 0; s.status == BP_OK && i < s.n_looks; i++)
        use_look(&s, &s.look[i]);
    if (s.store.failed)
        s.status = BP_ERR_MEMORY;
    if (s.status == BP_ERR_SOLVER || s.status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s", bp_status_text(s.status));
    bp_store_clear(&s.store);
    free(s.fault);
    return s.status;
}
