/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files that carry out actions share.
 */
#ifndef BP_SIM_ACTIONS_PRIVATE_H
#define BP_SIM_ACTIONS_PRIVATE_H

#include "sim/actions.h"

enum { BP_ACTION_WORDS = 4 };

/* One action being added: its words, and where the reason goes when it cannot be done. */
typedef struct bp_act {
    bp_task *task;
    const bp_circuit *circuit;
    size_t n; /* words after the verb */
    char word[BP_ACTION_WORDS][96];
    char *why;
    size_t size;
} bp_act;

/* Writes the reason; always BP_ERR_USAGE. */
bp_status bp_act_refuse(const bp_act *a, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Looks a word up as a part (its id or that of its housing) or as a place (pin, point); on failure
 * the reason is written. */
bool bp_act_part(const bp_act *a, size_t word, size_t *part);
bool bp_act_face(const bp_act *a, size_t word, size_t *face);

bool bp_has_plug(const bp_part *part);
bool bp_has_bolts(const bp_part *part);
/* A connector's halves are ideal pins; it comes apart in the middle by its own model. */
bool bp_is_connector(const bp_part *part);

/* The actions that add leads. */
bp_status bp_act_jumper(const bp_act *a);
bp_status bp_act_feed(const bp_act *a);
bp_status bp_act_earth(const bp_act *a);
bp_status bp_act_bypass(const bp_act *a);
bp_status bp_act_bulb_for(const bp_act *a);
bp_status bp_act_load(const bp_act *a);

#endif
