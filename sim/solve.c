/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/solve.h"

#include <stdlib.h>
#include <string.h>

#include "sim/lab.h"

/* The last phase that came back, as a solution of its own. */
static bool take(const bp_result *result, const bp_deck *deck, bp_solved *out) {
    if (result->n_phases == 0 || result->n_values != deck->n_values)
        return false;
    const bp_phase *p = &result->phase[result->n_phases - 1];
    const size_t n_parts = deck->circuit->n_parts;
    out->deck = deck;
    out->values = malloc((deck->n_values + 1) * sizeof *out->values);
    out->volts = malloc((deck->n_nodes + 1) * sizeof *out->volts);
    out->position = malloc((n_parts + 1) * sizeof *out->position);
    out->chatter = p->chatter;
    out->refused = !p->solved;
    if (!out->values || !out->volts || !out->position)
        return false;
    memcpy(out->values, result->values, deck->n_values * sizeof *out->values);
    memcpy(out->volts, p->volts, deck->n_nodes * sizeof *out->volts);
    memcpy(out->position, p->position, n_parts * sizeof *out->position);
    return true;
}

typedef struct job {
    bp_lab *lab;
    const bp_task *task;
    bp_solved *out;
    bool done;
    const char *why;
} job;

static bool make(void *data, size_t i, bp_bytes *request) {
    (void)i;
    const job *j = data;
    bp_task_write(j->task, bp_lab_circuit(j->lab), request);
    return true;
}

static bool take_reply(void *data, size_t i, bp_bytes *reply, const char *why) {
    (void)i;
    job *j = data;
    bp_result result = {.status = BP_OK};
    const bp_deck *deck = bp_lab_deck(j->lab, &j->task->plan);
    j->why = why ? why : "the solver gave no result";
    const bool good = !why && deck && bp_result_read(&result, j->task, deck, reply);
    j->done = good && result.status == BP_OK && take(&result, deck, j->out);
    bp_result_clear(&result);
    return good || why;
}

bp_status bp_lab_solve(bp_lab *lab, const bp_question *question, size_t pair, bp_way way,
                       bp_solved *out, bp_report *report) {
    bp_asked asked;
    *out = (bp_solved){0};
    bp_status status = bp_question_resolve(question, bp_lab_circuit(lab), &asked, report);
    if (status != BP_OK)
        return status;
    bp_task *task = &asked.task[0];
    task->solve = pair == BP_NONE ? task->plan.n_pairs : pair;
    task->fresh = way == BP_WAY_FRESH;
    job j = {.lab = lab, .task = task, .out = out};
    const bp_jobs jobs = {.n = 1, .data = &j, .make = make, .take = take_reply};
    if (task->state == BP_NONE) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "a solution is that of one state: name it");
        status = BP_ERR_USAGE;
    } else if (bp_pool_run(bp_lab_pool(lab), &jobs) != BP_OK || !j.done) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s",
                      j.why ? j.why : "the solver's process cannot be started");
        status = BP_ERR_SOLVER;
    }
    bp_asked_clear(&asked);
    if (status != BP_OK)
        bp_solved_clear(out);
    return status;
}

void bp_solved_clear(bp_solved *solved) {
    free(solved->values);
    free(solved->volts);
    free(solved->position);
    *solved = (bp_solved){0};
}
