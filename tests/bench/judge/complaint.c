/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Has anybody a reason to complain of this very vehicle? A relay that a fault leaves just too
 * little may pull in all the same where the parts are better than their data.
 */
#include <stdlib.h>
#include <string.h>

#include "tests/bench/judge/trial.h"

/* What a part does in a state; of a state that a slow fuse splits, the last is what stays. */
static const char *doing(const bp_answer *a, const char *state, const char *part) {
    const bp_state_answer *s = NULL;
    for (size_t i = 0; i < a->n_states; i++)
        if (strcmp(a->states[i].state, state) == 0)
            s = &a->states[i];
    for (size_t i = 0; s && i < s->n_notices; i++)
        if (strcmp(s->notices[i].part, part) == 0)
            return s->notices[i].says;
    return "";
}

static bool does_otherwise(const bp_circuit *c, const bp_answer *x, const bp_answer *good) {
    for (size_t s = 0; s < c->n_states; s++)
        for (size_t p = 0; p < c->n_parts; p++)
            if (strcmp(doing(x, c->states[s].id, c->parts[p].id),
                       doing(good, c->states[s].id, c->parts[p].id)) != 0)
                return true;
    return false;
}

static bool has_doings(const bp_answer *good) {
    for (size_t i = 0; i < good->n_states; i++)
        for (size_t k = 0; k < good->states[i].n_notices; k++)
            if (good->states[i].notices[k].says[0])
                return true;
    return false;
}

void hidden_text(const court *k, const suspect *hidden, char *text, size_t size) {
    bp_fault_case faults = {.n = hidden->fault != BP_NONE};
    if (faults.n > 0) {
        faults.fault[0] = bp_atlas_fault(k->atlas, hidden->fault)->fault;
        faults.fault[0].severity = hidden->severity;
    }
    bp_fault_write(bp_atlas_circuit(k->atlas), &faults, text, size);
}

bool court_hears(court *k, bp_report *report) {
    const bp_question q = BP_QUESTION_INIT;
    k->good = bp_lab_ask(bp_atlas_lab(k->atlas), &q, report);
    return k->good != NULL;
}

bool is_complained_of(const court *k, const suspect *hidden, bp_report *report) {
    char fault[600];
    bp_question q = BP_QUESTION_INIT;
    /* Where nothing does anything that can be told, people complain of readings. */
    if (!has_doings(k->good))
        return true;
    hidden_text(k, hidden, fault, sizeof fault);
    q.faults = fault;
    q.draw = hidden->draw;
    bp_answer *answer = bp_lab_ask(bp_atlas_lab(k->atlas), &q, report);
    const bool otherwise = answer && does_otherwise(bp_atlas_circuit(k->atlas), answer, k->good);
    bp_answer_free(&answer);
    return otherwise;
}
