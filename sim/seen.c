/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/seen_private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/case.h"
#include "sim/instrument.h"
#include "sim/noticed.h"

/* Questions that are asked at once. */
enum { BATCH = 64 };

/* Engine this much beyond a temperature at which a fault comes or goes, K. */
#define BEYOND 5.0

bool bp_seen_told(const bp_seen *seen) { return seen->instruments || seen->senses || seen->scope; }

/* A fault that the instrument has told already need not be looked at again; the first look is there
 * for the senses as well. */
static bool concerns(const bp_seer *s, const bp_look *look, size_t i) {
    if (s->first && bp_seen_told(&s->seen[i]))
        return false;
    return (look->part == BP_NONE || look->part == s->fault[i].part) &&
           !(s->seen[i].instruments & 1u << look->question.instrument);
}

/* Faults that are still to be looked at like this. */
static size_t n_concerned(const bp_seer *s, const bp_look *look) {
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++)
        n += concerns(s, look, i);
    return n;
}

void bp_seer_provoke(bp_seer *s, size_t fault, const char **after, size_t *n_after,
                     double *engine) {
    static const char *const verbs[] = {
        [BP_TUGGED] = "tug", [BP_HEATED] = "heat", [BP_COOLED] = "cool", [BP_WET] = "wet"};
    const bp_fault *f = &s->fault[fault];
    bp_when_sort when = f->when;
    if (when == BP_ALWAYS && bp_fault_rests(s->circuit, f))
        when = BP_TUGGED;
    if (when == BP_ENGINE_ABOVE)
        *engine = f->when_value + BEYOND;
    else if (when == BP_ENGINE_BELOW)
        *engine = f->when_value - BEYOND;
    else if (when != BP_ALWAYS)
        after[(*n_after)++] =
            bp_store_print(&s->store, "%s %s", verbs[when], s->circuit->parts[f->part].id);
}

/* The question for one fault. `after` is room for its actions. */
static bp_question question_for(bp_seer *s, const bp_look *look, size_t i, const char **after) {
    bp_question q = look->question;
    memcpy(after, look->after, sizeof look->after);
    q.after = after;
    q.faults = s->faults[i];
    bp_seer_provoke(s, i, after, &q.n_after, &q.engine);
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

/* Only that the solver came to no end, which is nothing that a meter shows. */
static bool is_unsolved(const char *why) {
    char unsolved[80];
    bp_why_write(BP_WHY_UNSOLVED, NAN, unsolved, sizeof unsolved);
    return why && (strcmp(why, unsolved) == 0 || strcmp(why, bp_why_no_run) == 0);
}

bool bp_reading_tells(const bp_reading *good, const bp_reading *bad) {
    if (good->status == BP_READING_NONE || bad->status == BP_READING_NONE) {
        const bp_reading *none = good->status == BP_READING_NONE ? good : bad;
        return good->status != bad->status && !is_unsolved(none->why);
    }
    if (good->status == BP_READING_OK &&
        bp_instruments[good->instrument]->accuracy(good->value) == 0)
        return strcmp(good->display, bad->display) != 0; /* off, dim, bright: no range to leave */
    return good->status != bad->status || bp_reading_mark(good, bad) != 0;
}

/* Does any display show something else? Where none does no range needs to be known. */
static bool displays_differ(const bp_answer *good, const bp_answer *bad) {
    for (size_t i = 0; i < bad->n_states; i++) {
        const bp_state_answer *b = &bad->states[i], *g = last_of(good, b->state);
        for (size_t k = 0; g && k < b->n_readings && k < g->n_readings; k++)
            if (g->readings[k].status != b->readings[k].status ||
                b->readings[k].status == BP_READING_UNSTEADY ||
                strcmp(g->readings[k].display, b->readings[k].display) != 0)
                return true;
    }
    return false;
}

static void judge_senses(const bp_answer *good, const bp_answer *bad, bp_seen *seen) {
    for (size_t i = 0; i < bad->n_states; i++) {
        const bp_state_answer *b = &bad->states[i], *g = last_of(good, b->state);
        if (g && !g->why && !b->why)
            seen->senses |= bp_senses_telling(g, b);
        seen->solved = seen->solved || !b->why;
        seen->unsolved = seen->unsolved || b->why;
    }
}

/* `good` has its ranges. */
static void judge(const bp_answer *good, const bp_answer *bad, bp_seen *seen) {
    for (size_t i = 0; i < bad->n_states; i++) {
        const bp_state_answer *b = &bad->states[i], *g = last_of(good, b->state);
        if (!g || g->why || b->why)
            continue;
        for (size_t k = 0; k < b->n_readings && k < g->n_readings; k++)
            if (bp_reading_tells(&g->readings[k], &b->readings[k]))
                seen->instruments |= 1u << b->readings[k].instrument;
    }
}

void bp_seer_step(void *data, size_t done, size_t of) {
    const bp_seer *s = data;
    (void)of;
    if (s->progress)
        s->progress(s->data, s->done + done, s->of);
}

/* A question that is refused (the action would do harm with this fault) tells nothing; a solver
 * that is gone ends all. */
static void ask(bp_seer *s, const bp_question *question, size_t n, bp_answer **answer,
                void (*told)(void *data, size_t done, size_t of)) {
    const bp_status status = bp_lab_ask_many(s->lab, question, n, answer, told, s, NULL);
    if (status == BP_ERR_MEMORY || status == BP_ERR_SOLVER)
        s->status = status;
}

/* The good circuit; ranges take many solutions, and are worked out when something differs. */
typedef struct good_one {
    bp_question question;
    bp_answer *plain, *ranged;
} good_one;

static void ask_good(bp_seer *s, good_one *g, bool ranges) {
    bp_answer **to = ranges ? &g->ranged : &g->plain;
    g->question.faults = NULL;
    g->question.ranges = ranges;
    if (!*to)
        ask(s, &g->question, 1, to, NULL);
}

static void clear_good(good_one *g) {
    bp_answer_free(&g->plain);
    bp_answer_free(&g->ranged);
}

static void hold_against(bp_seer *s, good_one *good, const bp_answer *bad, bool senses,
                         bp_seen *seen) {
    ask_good(s, good, false);
    if (!good->plain)
        return;
    if (senses)
        judge_senses(good->plain, bad, seen);
    if (!displays_differ(good->plain, bad))
        return;
    ask_good(s, good, true);
    if (good->ranged)
        judge(good->ranged, bad, seen);
}

static void look_at_batch(bp_seer *s, const bp_look *look, good_one *good, const size_t *which,
                          size_t n) {
    const char *after[BATCH][BP_LOOK_ACTIONS + 1];
    bp_question question[BATCH] = {BP_QUESTION_INIT};
    bp_answer *answer[BATCH] = {NULL};
    for (size_t i = 0; i < n; i++)
        question[i] = question_for(s, look, which[i], after[i]);
    ask(s, question, n, answer, bp_seer_step);
    s->done += n;
    for (size_t i = 0; i < n; i++) {
        const bool as_warm = isnan(question[i].engine); /* as the states say, as `good` is */
        good_one own = {.question = question[i]};
        if (answer[i])
            hold_against(s, as_warm ? good : &own, answer[i], look == s->look, &s->seen[which[i]]);
        clear_good(&own);
        bp_answer_free(&answer[i]);
    }
}

static void use_look(bp_seer *s, const bp_look *look) {
    size_t which[BATCH], n = 0;
    good_one good = {.question = look->question};
    good.question.after = look->after;
    for (size_t i = 0; i < s->n && s->status == BP_OK; i++) {
        if (concerns(s, look, i))
            which[n++] = i;
        if (n == BATCH || (i + 1 == s->n && n > 0)) {
            look_at_batch(s, look, &good, which, n);
            n = 0;
        }
    }
    clear_good(&good);
}

static void parse(bp_seer *s, bp_report *report) {
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

/* All looks with the ohmmeter, or all others. */
static void use_looks(bp_seer *s, bool ohms) {
    for (size_t i = 0; s->status == BP_OK && i < s->n_looks; i++)
        if ((s->look[i].question.instrument == BP_OHMS) == ohms)
            use_look(s, &s->look[i]);
}

/* Where one thing that tells is enough the dearest come last: an ohmmeter is solved pair by pair.
 */
static void look_at_all(bp_seer *s) {
    s->of = bp_seer_n_runs(s);
    for (size_t i = 0; i < s->n_looks; i++)
        s->of += n_concerned(s, &s->look[i]);
    use_looks(s, false);
    if (s->status == BP_OK)
        bp_seer_look_over_time(s);
    use_looks(s, true);
    if (s->store.failed)
        s->status = BP_ERR_MEMORY;
}

static bp_status compute(bp_seer *s, bp_report *report) {
    s->circuit = bp_lab_circuit(s->lab);
    s->fault = calloc(s->n + 1, sizeof *s->fault);
    memset(s->seen, 0, s->n * sizeof *s->seen);
    if (!s->fault || !bp_looks_make(s->circuit, s->instruments, &s->store, &s->look, &s->n_looks))
        s->status = BP_ERR_MEMORY;
    else
        parse(s, report);
    if (s->status == BP_OK)
        look_at_all(s);
    if (s->status == BP_ERR_SOLVER || s->status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s", bp_status_text(s->status));
    bp_store_clear(&s->store);
    free(s->fault);
    return s->status;
}

bp_status bp_seen_compute(bp_lab *lab, const char *const *faults, size_t n, bp_seen *seen,
                          void (*progress)(void *data, size_t done, size_t of), void *data,
                          bp_report *report) {
    bp_seer s = {.lab = lab,
                 .faults = faults,
                 .n = n,
                 .instruments = ~0u,
                 .seen = seen,
                 .progress = progress,
                 .data = data};
    return compute(&s, report);
}

bp_status bp_seen_at_all(bp_lab *lab, const char *const *faults, size_t n, unsigned instruments,
                         bp_seen *seen, bp_report *report) {
    bp_seer s = {.lab = lab,
                 .faults = faults,
                 .n = n,
                 .instruments = instruments | 1u << BP_VOLTS,
                 .first = true,
                 .seen = seen};
    return compute(&s, report);
}
