/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The pieces of a reply sheet. Each draws at its place and says how high it is; draw = false only
 * measures.
 */
#ifndef BP_RENDER_REPLY_BLOCKS_H
#define BP_RENDER_REPLY_BLOCKS_H

#include "render/reply_facts.h"
#include "render/sheet_flow.h"

/* Complaint, circuit and what the sheet is for; leaves flow->y below. */
void bp_reply_head(bp_flow *flow, const bp_reply *reply);

/* What is known so far beside what it can be. */
double bp_reply_findings(bp_flow *flow, const bp_reply *reply, bool draw);

/* One test in a column. */
double bp_reply_test_draw(bp_canvas *canvas, const bp_reply *reply, size_t index, double x,
                          double y, double width, bool draw);
/* All of them, or the advice where there are none, one below the other. */
double bp_reply_tests(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                      bool draw);

/* What to do where there is nothing to test. */
double bp_reply_advice(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                       bool draw);
/* What not to buy yet and when to stop, abreast or one below the other. */
double bp_reply_boxes(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                      bool abreast, bool draw);

/* What the tags of the drawing mean. */
double bp_reply_legend(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                       bool draw);

#endif
