/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a match.
 */
#ifndef BP_DIAGNOSE_MATCH_PARTS_H
#define BP_DIAGNOSE_MATCH_PARTS_H

#include "diagnose/diagnosis.h"
#include "sim/store.h"

struct bp_match {
    bp_diagnosis *d;
    bp_store store; /* all texts */
    bp_suspect *suspect;
    size_t n_suspects, room;
    double other;
    bp_misfit *misfit;
    size_t n_misfits;
    const char *first;
    const char **left_out; /* d->n_left_out sentences */
};

/* Adds a suspect; false: no memory. */
bool bp_match_add(bp_match *match, bp_suspect suspect);
/* Multiplies all probabilities there are so far. */
void bp_match_scale(bp_match *match, double by);

/* For qsort: two bp_suspect_fault by their ids. */
int bp_match_by_id(const void *x, const void *y);

/* reasons.c: which readings speak for a hypothesis (BP_NONE: the healthy circuit); `good` names
 * what would be good: "W18", "circuit". In the store. */
const char *bp_match_reason(bp_match *match, size_t hypothesis, const char *good);
/* "H reads 0.00 V in state prime". */
const char *bp_match_reading_words(bp_match *match, size_t evidence);
/* Why readings count for nothing, into left_out. False: no memory. */
bool bp_match_say_left_out(bp_match *match);
/* The readings that the hypothesis does not explain. */
bool bp_match_find_misfits(bp_match *match, size_t hypothesis, const char *cause);

/* pairs.c: two faults at once, when nothing single explains the readings: adds suspects and takes
 * their probability out of the others. False: no memory. */
bool bp_match_find_pairs(bp_match *match, bp_report *report);

#endif
