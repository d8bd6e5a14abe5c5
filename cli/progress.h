/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How far the work is: one line on stderr that is written over, when stderr is a terminal and the
 * work has taken over a second.
 */
#ifndef BP_CLI_PROGRESS_H
#define BP_CLI_PROGRESS_H

#include <time.h>

#include "cli/subcommand.h"

typedef struct bp_progress {
    const bp_cli *cli;
    const char *what; /* "cases solved" */
    struct timespec start;
    long shown; /* whole tenths of a second since the start when it was last written; 0 = never */
} bp_progress;

bp_progress bp_progress_new(const bp_cli *cli, const char *what);

/* As bp_lab_ask_many and bp_table_compute call it; data is the bp_progress. */
void bp_progress_step(void *data, size_t done, size_t of);

/* Takes the line away. */
void bp_progress_end(bp_progress *progress);

#endif
