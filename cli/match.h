/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What `match` prints.
 */
#ifndef BP_CLI_MATCH_H
#define BP_CLI_MATCH_H

#include <backprobe/match.h>

#include "cli/screen.h"

void bp_match_text(const bp_screen *out, const bp_casefile *file, const bp_match *match);
void bp_match_json(const bp_screen *out, const bp_casefile *file, const bp_match *match);

/* How bad a fault is, as people say it: "about 1.8 Ω, 1.5 to 2.2"; empty when it has no degrees.
 * Owned by the caller. */
char *bp_how_bad(const bp_suspect_fault *fault);

/* "61 %", "< 1 %", ...: a probability as people read it. */
void bp_percent(double probability, char *text, size_t size);

#endif
