/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A question in words becomes tasks in numbers. Most need one; points that lie open only with a
 * plug off or a part out of its socket need one more for each such plug.
 */
#ifndef BP_SIM_QUESTION_H
#define BP_SIM_QUESTION_H

#include "sim/task.h"

typedef struct bp_asked_pair {
    size_t red, black;  /* faces; of a clamp, the ends of its wire: where from, where to */
    size_t wire;        /* around which a clamp is, BP_NONE */
    size_t point;       /* index, or BP_NONE for a free pair */
    size_t opened;      /* part whose plug or socket is open for it, BP_NONE */
    bool unloaded;      /* a lead is at a plug or socket that is open, and nothing loads it */
    size_t task, place; /* which task reads it, as which of its pairs */
} bp_asked_pair;

typedef struct bp_asked {
    size_t n_pairs;
    bp_asked_pair *pair;
    size_t n_tasks;
    bp_task *task;   /* the first is the circuit as asked; it may have no pairs */
    size_t n_checks; /* how many of the tasks, the last ones, only tell whether harm would come */
    size_t at;       /* part whose place the ammeter takes, BP_NONE */
} bp_asked;

/* Resolves all names. On failure the reason is in the report and nothing needs clearing. */
bp_status bp_question_resolve(const bp_question *question, const bp_circuit *circuit,
                              bp_asked *asked, bp_report *report);
void bp_asked_clear(bp_asked *asked);

#endif
