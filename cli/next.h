/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The next test, on a terminal and as JSON.
 */
#ifndef BP_CLI_NEXT_H
#define BP_CLI_NEXT_H

#include <backprobe/next.h>

#include "cli/screen.h"

void bp_next_text(const bp_screen *out, const bp_casefile *file, const bp_next *next);
void bp_next_json(const bp_screen *out, const bp_casefile *file, const bp_next *next);
/* next_plan_text.c: the plan as a tree, and what it costs beside guessing. rate: money per hour or
 * NAN. */
void bp_plan_text(const bp_screen *out, const bp_test_plan *plan, double rate);

#endif
