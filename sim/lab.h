/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The lab's inside, for this floor and for tests.
 */
#ifndef BP_SIM_LAB_H
#define BP_SIM_LAB_H

#include "sim/answer.h"
#include "sim/pool.h"

/* The pool of workers, to set its time limit or to look at its processes. */
bp_pool *bp_lab_pool(bp_lab *lab);

/* For tests: the next task that is sent to a worker makes it die, hang or babble. */
void bp_lab_plan_mishap(bp_lab *lab, bp_mishap mishap);

/* What was planned, once. */
bp_mishap bp_lab_take_mishap(bp_lab *lab);

/* bp_lab_ask_many for instruments that read a steady state. */
bp_status bp_lab_ask_steady(bp_lab *lab, const bp_question *questions, size_t n,
                            bp_answer **answers,
                            void (*progress)(void *data, size_t done, size_t of), void *data,
                            bp_report *report);

/* The deck for a plan, kept by the lab until some questions later. NULL: no memory. */
const bp_deck *bp_lab_deck(bp_lab *lab, const bp_plan *plan);
/* Keeps the latest decks only, since every set of pairs has one of its own. */
void bp_lab_forget_decks(bp_lab *lab);

#endif
