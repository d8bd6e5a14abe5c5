/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Many questions at once, spread over the workers. Where questions are a family of faults that
 * differ in how bad they are only, the least and the worst go first; of the others only the states
 * that these two do not decide are solved (sim/family.h).
 */
#include <stdlib.h>
#include <string.h>

#include "sim/family.h"
#include "sim/harm.h"
#include "sim/lab.h"

/* One question on its way: its tasks and what came of them. */
typedef struct errand {
    bp_asked asked;
    bp_outcome *outcome; /* by task */
    size_t open;         /* tasks without an outcome */
    bool kept;           /* it is an end of a family: its outcome is needed until all is done */
    bool between;        /* it lies between the ends of a family: */
    size_t least, worst; /* questions */
} errand;

typedef struct batch {
    bp_lab *lab;
    const bp_question *question;
    errand *errand; /* by question */
    size_t *of_job; /* question of each job */
    size_t *task_of_job;
    size_t n_jobs;
    size_t *ready; /* questions that are complete but not answered yet */
    size_t n_ready;
    bool between;   /* it is the turn of those between the ends */
    bp_scene scene; /* room for making answers */
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

/* The errand is complete: a harmful action is refused, anything else becomes an answer. */
static void finish(batch *r, size_t q) {
    errand *e = &r->errand[q];
    char why[400] = "";
    if (bp_harm_found(&e->asked, e->outcome, why, sizeof why)) {
        bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "%s", why);
        r->status = BP_ERR_USAGE;
    } else {
        r->answer[q] = bp_answer_make(&r->question[q], bp_lab_circuit(r->lab), &e->asked,
                                      e->outcome, &r->scene);
        if (!r->answer[q])
            r->status = BP_ERR_MEMORY;
    }
    if (!e->kept)
        errand_clear(e);
    r->done++;
    if (r->progress)
        r->progress(r->progress_data, r->done, r->n);
}

static void finish_ready(void *data) {
    batch *r = data;
    for (size_t i = 0; i < r->n_ready; i++)
        finish(r, r->ready[i]);
    r->n_ready = 0;
}

/* What the ends of the family say of one between them; true: everything. */
static bool learn(batch *r, errand *e) {
    const bp_outcome *least = r->errand[e->least].outcome, *worst = r->errand[e->worst].outcome;
    if (least->why || worst->why || !least->deck)
        return false;
    return bp_family_agree(least->deck, &least->result, &worst->result, &e->asked.task[0]);
}

/* Adds what was left out. */
static void complete(batch *r, errand *e) {
    const bp_result *like = &r->errand[e->least].outcome->result;
    bp_outcome *o = e->outcome;
    if (o->result.status != BP_OK ||
        bp_family_fill(&o->result, like, o->deck, e->asked.task[0].known))
        return;
    bp_result_clear(&o->result);
    o->why = "out of memory";
}

static bool make_job(void *data, size_t i, bp_bytes *request) {
    batch *r = data;
    errand *e = &r->errand[r->of_job[i]];
    bp_task *task = &e->asked.task[r->task_of_job[i]];
    if (e->between != r->between)
        return false;
    if (e->between && learn(r, e)) {
        e->outcome->deck = r->errand[e->least].outcome->deck;
        complete(r, e);
        r->ready[r->n_ready++] = r->of_job[i];
        return false;
    }
    task->mishap = bp_lab_take_mishap(r->lab);
    bp_task_write(task, bp_lab_circuit(r->lab), request);
    return true;
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
    if (e->between && !o->why)
        complete(r, e);
    if (--e->open == 0)
        r->ready[r->n_ready++] = q;
    return good;
}

/* All questions in numbers. */
static bool resolve_all(batch *r) {
    for (size_t q = 0; q < r->n; q++) {
        errand *e = &r->errand[q];
        const bp_status status =
            bp_question_resolve(&r->question[q], bp_lab_circuit(r->lab), &e->asked, r->report);
        if (status != BP_OK) {
            r->status = status;
            r->done++;
            continue;
        }
        e->outcome = calloc(e->asked.n_tasks, sizeof *e->outcome);
        e->open = e->asked.n_tasks;
        r->n_jobs += e->asked.n_tasks;
        if (!e->outcome)
            return false;
    }
    return true;
}

/* One job for each task. */
static bool make_jobs(batch *r) {
    r->of_job = calloc(r->n_jobs + 1, sizeof *r->of_job);
    r->task_of_job = calloc(r->n_jobs + 1, sizeof *r->task_of_job);
    r->ready = calloc(r->n + 1, sizeof *r->ready);
    if (!r->of_job || !r->task_of_job || !r->ready)
        return false;
    size_t job = 0;
    for (size_t q = 0; q < r->n; q++)
        for (size_t t = 0; r->errand[q].outcome && t < r->errand[q].asked.n_tasks; t++, job++) {
            r->of_job[job] = q;
            r->task_of_job[job] = t;
        }
    return true;
}

static void make_family(batch *r, size_t first, size_t n) {
    size_t least = first, worst = first;
    for (size_t q = first; q < first + n; q++) {
        const double severity = r->errand[q].asked.task[0].faults.fault[0].severity;
        if (severity < r->errand[least].asked.task[0].faults.fault[0].severity)
            least = q;
        if (severity > r->errand[worst].asked.task[0].faults.fault[0].severity)
            worst = q;
    }
    for (size_t q = first; q < first + n; q++) {
        errand *e = &r->errand[q];
        e->kept = q == least || q == worst;
        e->between = !e->kept;
        e->least = least;
        e->worst = worst;
    }
}

/* Only questions that stand side by side are looked at, as a fault table asks them. */
static bool find_families(batch *r) {
    const bp_task **task = calloc(r->n + 1, sizeof *task);
    for (size_t q = 0; task && q < r->n;) {
        size_t n = 0;
        while (q + n < r->n && r->errand[q + n].outcome && r->errand[q + n].asked.n_tasks == 1) {
            task[n] = &r->errand[q + n].asked.task[0];
            n++;
        }
        for (size_t i = 0; i < n;) {
            const size_t members = 1 + bp_family_members(bp_lab_circuit(r->lab), &task[i], n - i);
            if (members > 2)
                make_family(r, q + i, members);
            i += members;
        }
        q += n + 1;
    }
    free(task);
    return task;
}

static void run(batch *r) {
    const bp_jobs jobs = {
        .n = r->n_jobs, .data = r, .make = make_job, .take = take_reply, .meanwhile = finish_ready};
    bp_status ran = bp_pool_run(bp_lab_pool(r->lab), &jobs);
    r->between = true;
    if (ran == BP_OK)
        ran = bp_pool_run(bp_lab_pool(r->lab), &jobs);
    if (ran == BP_OK)
        return;
    bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0,
                  "the solver's process cannot be started again; see `backprobe doctor`");
    r->status = ran;
}

bp_status bp_lab_ask_steady(bp_lab *lab, const bp_question *questions, size_t n,
                            bp_answer **answers,
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
        bp_pool_start(bp_lab_pool(lab));
    r.errand = calloc(n + 1, sizeof *r.errand);
    if (!r.errand)
        return BP_ERR_MEMORY;
    if (resolve_all(&r) && find_families(&r) && make_jobs(&r))
        run(&r);
    else
        r.status = BP_ERR_MEMORY;
    for (size_t q = 0; q < n; q++)
        errand_clear(&r.errand[q]);
    bp_scene_clear(&r.scene);
    bp_lab_forget_decks(lab);
    free(r.errand);
    free(r.of_job);
    free(r.task_of_job);
    free(r.ready);
    return r.status;
}
