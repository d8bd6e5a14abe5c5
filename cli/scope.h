/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shapes in which a waveform is told.
 */
#ifndef BP_CLI_SCOPE_H
#define BP_CLI_SCOPE_H

#include <backprobe/scope.h>

#include "cli/screen.h"

/* What was measured, healthy beside faulted; either may be NULL, not both. */
void bp_scope_text(const bp_screen *out, const bp_scope_run *healthy, const bp_scope_run *faulted);

void bp_scope_json(const bp_screen *out, const bp_scope_run *healthy, const bp_scope_run *faulted);

/* One run: time, then a column a trace. */
void bp_scope_csv(const bp_screen *out, const bp_scope_run *run);

#endif
