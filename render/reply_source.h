/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a case, its suspects and its next tests to the words and tags of a reply sheet.
 */
#ifndef BP_RENDER_REPLY_SOURCE_H
#define BP_RENDER_REPLY_SOURCE_H

#include <backprobe/reply.h>

#include "render/reply_facts.h"

typedef struct bp_reply_source {
    const bp_casefile *file;
    const bp_circuit *circuit;
    const bp_reply_options *options;
    bp_lab *lab;
    bp_match *match;
    bp_next *next;
    /* What goes onto the sheet: the best test, then what follows its likeliest outcomes. */
    const bp_next_test *tests[BP_REPLY_TESTS];
    char *when[BP_REPLY_TESTS];      /* "if 1 shows 7 to 11 V"; NULL: at once; owned */
    size_t outcomes[BP_REPLY_TESTS]; /* after how many outcomes of the first it follows */
    size_t n_tests;
} bp_reply_source;

/* Each fills its part of the reply. BP_ERR_MEMORY, BP_ERR_SOLVER, else BP_OK. */
bp_status bp_reply_choose_tests(bp_reply_source *source);
bp_status bp_reply_say_known(bp_reply *reply, const bp_reply_source *source, bp_report *report);
bp_status bp_reply_say_suspects(bp_reply *reply, const bp_reply_source *source);
bp_status bp_reply_say_tests(bp_reply *reply, const bp_reply_source *source);
bp_status bp_reply_say_advice(bp_reply *reply, const bp_reply_source *source);
bp_status bp_reply_say_costs(bp_reply *reply, const bp_reply_source *source);
bp_status bp_reply_say_stop(bp_reply *reply);
bp_status bp_reply_flag(bp_reply *reply, const bp_reply_source *source);
/* What has no part in it is left out of the drawing, where that can be told. */
bp_status bp_reply_leave_out(bp_reply *reply, const bp_reply_source *source);

/* The face that a lead is on, by point or place; BP_NONE when there is none of that name. */
size_t bp_reply_face(const bp_circuit *circuit, const char *place);

/* Everything. Free with bp_reply_clear whatever comes back; `base` is owned by the reply then. */
bp_status bp_reply_gather(bp_reply *reply, const bp_casefile *file, const bp_reply_options *options,
                          bp_report *report);

#endif
