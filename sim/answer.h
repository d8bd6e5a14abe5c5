/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a worker's numbers to what people read.
 */
#ifndef BP_SIM_ANSWER_H
#define BP_SIM_ANSWER_H

#include "sim/question.h"
#include "sim/scene.h"
#include "sim/store.h"

/* What came of one task: a result with the deck it belongs to, or why there is none. */
typedef struct bp_outcome {
    const bp_deck *deck;
    bp_result result;
    const char *why; /* static; NULL when there is a result */
} bp_outcome;

/* Puts the answer together from one outcome a task (those of asked->task). The scene is room to
 * work in, best kept from one answer to the next. NULL: no memory. */
bp_answer *bp_answer_make(const bp_question *question, const bp_circuit *circuit,
                          const bp_asked *asked, const bp_outcome *outcome, bp_scene *scene);

/* Where what belongs to an answer is kept. */
bp_store *bp_answer_store(bp_answer *answer);

#endif
