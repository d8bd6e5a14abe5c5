/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The checks of `doctor`.
 */
#ifndef BP_CLI_DOCTOR_H
#define BP_CLI_DOCTOR_H

#include "cli/subcommand.h"

typedef struct bp_finding {
    bool good;
    char found[512]; /* what was found */
    char mend[512];  /* what to do; empty when there is nothing to do */
} bp_finding;

/* Each looks at one thing and fills in the finding, which comes zeroed. */
void bp_doctor_solver(bp_cli *cli, bp_finding *finding);
void bp_doctor_sandbox(bp_cli *cli, bp_finding *finding);
void bp_doctor_fonts(bp_cli *cli, bp_finding *finding);
void bp_doctor_library(bp_cli *cli, bp_finding *finding);
void bp_doctor_own(bp_cli *cli, bp_finding *finding);
void bp_doctor_temporary(bp_cli *cli, bp_finding *finding);

#endif
