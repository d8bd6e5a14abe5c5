/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/lab.h"

#include <stdlib.h>
#include <string.h>

#include "sim/harm.h"

struct bp_lab {
    const bp_circuit *circuit;
    bp_pool *pool;
    bp_mishap mishap;
    bp_deck **deck; /* of every plan met so far, the last one met last */
    size_t n_decks;
};

bp_lab *bp_lab_new(const bp_circuit *circuit, size_t workers, bp_report *report) {
    bp_lab *lab = calloc(1, sizeof *lab);
    if (!lab)
        return NULL;
    lab->circuit = circuit;
    lab->pool = bp_pool_new(circuit, workers, report);
    if (!lab->pool)
        bp_lab_free(&lab);
    return lab;
}

void bp_lab_free(bp_lab **lab) {
    if (!lab || !*lab)
        return;
    bp_pool_free(&(*lab)->pool);
    for (size_t i = 0; i < (*lab)->n_decks; i++)
        bp_deck_free(&(*lab)->deck[i]);
    free((*lab)->deck);
    free(*lab);
    *lab = NULL;
}

const bp_circuit *bp_lab_circuit(const bp_lab *lab) { return lab->circuit; }
const char *bp_lab_solver(const bp_lab *lab) { return bp_pool_solver(lab->pool); }
bp_pool *bp_lab_pool(bp_lab *lab) { return lab->pool; }
void bp_lab_plan_mishap(bp_lab *lab, bp_mishap mishap) { lab->mishap = mishap; }

bp_mishap bp_lab_take_mishap(bp_lab *lab) {
    const bp_mishap planned = lab->mishap;
    lab->mishap = BP_MISHAP_NONE;
    return planned;
}

const bp_deck *bp_lab_deck(bp_lab *lab, const bp_plan *plan) {
    for (size_t i = lab->n_decks; i-- > 0;)
        if (bp_plan_equal(&lab->deck[i]->plan, plan))
            return lab->deck[i];
    bp_deck **more = realloc(lab->deck, (lab->n_decks + 1) * sizeof *more);
    if (!more)
        return NULL;
    lab->deck = more;
    more[lab->n_decks] = bp_deck_new(lab->circuit, plan);
    return more[lab->n_decks] ? more[lab->n_decks++] : NULL;
}

/* Keeps the latest decks only, since every set of pairs has one of its own. */
static void forget_decks(bp_lab *lab) {
    enum { KEPT = 8 };
    while (lab->n_decks > KEPT) {
        bp_deck_free(&lab->deck[0]);
        memmove(&lab->deck[0], &lab->deck[1], --lab->n_decks * sizeof *lab->deck);
    }
}

/* One question on its way: its tasks and what came of them. */
typedef struct errand {
    bp_asked asked;
    bp_outcome *outcome; /* by task */
    size_t open;         /* tasks without an outcome */
} errand;

typedef struct batch {
    bp_lab *lab;
    const bp_question *question;
    errand *errand; /* by question */
    size_t *of_job; /* question of each job */
    size_t *task_of_job;
    bp_answer **answer;
    size_t n, done;
    bp_report *report;
    bp_status status;
    void (*progress)(void *data, size_t done, size_t of);
    void *progress_data;
} batch;

static void errand_clear(errand *e) {
    for (size_t i = 0; e->outcome && i < e->asked.n_tasks; i++)
        if (!e->outcome[i].why)
            bp_result_clear(&e->outcome[i].result);
    free(e->outcome);
    e->outcome = NULL;
    bp_asked_clear(&e->asked);
}

static bool make_job(void *data, size_t i, bp_bytes *request) {
    batch *r = data;
    bp_task *task = &r->errand[r->of_job[i]].asked.task[r->task_of_job[i]];
    task->mishap = bp_lab_take_mishap(r->lab);
    bp_task_write(task, r->lab->circuit, request);
    return true;
}

/* The errand is complete: a harmful action is refused, anything else becomes an answer. */
static void finish(batch *r, size_t q) {
    errand *e = &r->errand[q];
    char why[400] = "";
    if (bp_harm_found(&e->asked, e->outcome, why, sizeof why)) {
        bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "%s", why);
        r->status = BP_ERR_USAGE;
    } else {
        r->answer[q] = bp_answer_make(&r->question[q], r->lab->circuit, &e->asked, e->outcome);
        if (!r->answer[q])
            r->status = BP_ERR_MEMORY;
    }
    errand_clear(e);
    r->done++;
    if (r->progress)
        r->progress(r->progress_data, r->done, r->n);
}

static bool take_reply(void *data, size_t i, bp_bytes *reply, const char *why) {
    batch *r = data;
    const size_t q = r->of_job[i];
    errand *e = &r->errand[q];
    bp_outcome *o = &e->outcome[r->task_of_job[i]];
    const bp_task *task = &e->asked.task[r->task_of_job[i]];
    bool good = true;
    o->why = why;
    o->deck = bp_lab_deck(r->lab, &task->plan);
    if (!why && !o->deck)
        o->why = "out of memory";
    else if (!why && !bp_result_read(&o->result, task, o->deck, reply)) {
        bp_result_clear(&o->result);
        o->why = "the solver's process sent nonsense; it was replaced";
        good = false;
    }
    if (--e->open == 0)
        finish(r, q);
    return good;
}

/* All questions in numbers, and one job for each task. */
static size_t resolve_all(batch *r) {
    size_t jobs = 0;
    for (size_t q = 0; q < r->n; q++) {
        errand *e = &r->errand[q];
        const bp_status status =
            bp_question_resolve(&r->question[q], r->lab->circuit, &e->asked, r->report);
        if (status != BP_OK) {
            r->status = status;
            r->done++;
            continue;
        }
        e->outcome = calloc(e->asked.n_tasks, sizeof *e->outcome);
        size_t *of_job = realloc(r->of_job, (jobs + e->asked.n_tasks) * sizeof *of_job);
        if (of_job)
            r->of_job = of_job;
        size_t *task_of_job =
            realloc(r->task_of_job, (jobs + e->asked.n_tasks) * sizeof *task_of_job);
        if (task_of_job)
            r->task_of_job = task_of_job;
        if (!e->outcome || !of_job || !task_of_job) {
            r->status = BP_ERR_MEMORY;
            return 0;
        }
        e->open = e->asked.n_tasks;
        for (size_t t = 0; t < e->asked.n_tasks; t++, jobs++) {
            r->of_job[jobs] = q;
            r->task_of_job[jobs] = t;
        }
    }
    return jobs;
}

bp_status bp_lab_ask_many(bp_lab *lab, const bp_question *questions, size_t n, bp_answer **answers,
                          void (*progress)(void *data, size_t done, size_t of), void *data,
                          bp_report *report) {
    batch r = {.lab = lab,
               .question = questions,
               .answer = answers,
               .n = n,
               .report = report,
               .progress = progress,
               .progress_data = data};
    memset(answers, 0, n * sizeof *answers);
    if (n > 1)
        bp_pool_start(lab->pool);
    r.errand = calloc(n + 1, sizeof *r.errand);
    if (!r.errand)
        return BP_ERR_MEMORY;
    const bp_jobs jobs = {.n = resolve_all(&r), .data = &r, .make = make_job, .take = take_reply};
    const bp_status ran = bp_pool_run(lab->pool, &jobs);
    if (ran != BP_OK) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "the solver's process cannot be started again; see `backprobe doctor`");
        r.status = ran;
    }
    for (size_t q = 0; q < n; q++)
        errand_clear(&r.errand[q]);
    forget_decks(lab);
    free(r.errand);
    free(r.of_job);
    free(r.task_of_job);
    return r.status;
}

bp_answer *bp_lab_ask(bp_lab *lab, const bp_question *question, bp_report *report) {
    bp_answer *answer = NULL;
    bp_lab_ask_many(lab, question, 1, &answer, NULL, NULL, report);
    return answer;
}
