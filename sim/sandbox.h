/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a worker process may see and do. The solver reads start-up files and obeys variables of the
 * environment, all of which can run commands, and has no switch against it: so there is nothing for
 * it to find, and later nothing that it could do.
 */
#ifndef BP_SIM_SANDBOX_H
#define BP_SIM_SANDBOX_H

#include <stdbool.h>

/* Before the solver starts: an empty environment, an empty and already deleted directory, silent
 * standard streams. */
bool bp_sandbox_enter(void);
/* After it has started: only memory, clocks and the sockets that are open stay allowed. */
bool bp_sandbox_shut(void);

#endif
