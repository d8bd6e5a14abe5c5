/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Questions about waveforms on their way to a worker, and its numbers on their way to people.
 */
#ifndef BP_SIM_SCOPE_RUN_H
#define BP_SIM_SCOPE_RUN_H

#include <backprobe/scope.h>

#include "sim/question.h"
#include "sim/wave_run.h"

typedef struct bp_scope_asked {
    bp_asked steady;       /* one task, without pairs: it is the run's */
    bp_scope_trace *trace; /* by trace, as written; owned */
} bp_scope_asked;

/* Resolves all names. False: the reason is in the report and nothing needs clearing. */
bool bp_scope_resolve(const bp_scope_question *question, const bp_circuit *circuit,
                      bp_scope_asked *asked, bp_report *report);
void bp_scope_asked_clear(bp_scope_asked *asked);

/* deck: the one in time. why: NULL, or why there is no result. NULL: no memory. */
bp_scope_run *bp_scope_make(const bp_circuit *circuit, const bp_scope_asked *asked,
                            const bp_deck *deck, const bp_wave_result *result, const char *why);

#endif
