/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/lab.h"

#include <stdlib.h>
#include <string.h>

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

void bp_lab_forget_decks(bp_lab *lab) {
    enum { KEPT = 8 };
    while (lab->n_decks > KEPT) {
        bp_deck_free(&lab->deck[0]);
        memmove(&lab->deck[0], &lab->deck[1], --lab->n_decks * sizeof *lab->deck);
    }
}

bp_answer *bp_lab_ask(bp_lab *lab, const bp_question *question, bp_report *report) {
    bp_answer *answer = NULL;
    bp_lab_ask_many(lab, question, 1, &answer, NULL, NULL, report);
    return answer;
}
