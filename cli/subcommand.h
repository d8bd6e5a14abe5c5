/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The subcommands. Adding one: a file cli/NAME.c that defines bp_subcommand_NAME, and a line here.
 */
#ifndef BP_CLI_SUBCOMMAND_H
#define BP_CLI_SUBCOMMAND_H

#include <backprobe/circuit.h>

#include "cli/screen.h"

/* clang-format off */
#define BP_SUBCOMMAND_LIST(X) \
    X(circuits)               \
    X(show)                   \
    X(check)                  \
    X(faults)                 \
    X(predict)                \
    X(table)                  \
    X(sheet)                  \
    X(match)                  \
    X(next)                   \
    X(repairs)                \
    X(scope)                  \
    X(doctor)
/* clang-format on */

/* How the program ends. */
typedef enum bp_exit {
    BP_EXIT_DONE = 0,
    BP_EXIT_NO = 1,       /* the answer is "no" */
    BP_EXIT_INPUT = 2,    /* wrong usage, bad input, output that cannot be written */
    BP_EXIT_SOLVER = 3,   /* the simulator failed, or memory ran out */
    BP_EXIT_CARRY_ON = -1 /* not an end: go on */
} bp_exit;

/* What a running subcommand has at hand. */
typedef struct bp_cli {
    const char *name;   /* "predict" */
    bp_screen out, err; /* results; everything else */
    bp_report *report;
} bp_cli;

typedef struct bp_subcommand {
    const char *name;
    const char *words;                                  /* one line for --help */
    bp_exit (*run)(bp_cli *cli, int argc, char **argv); /* argv[0] is the subcommand */
} bp_subcommand;

#define X(name) extern const bp_subcommand bp_subcommand_##name;
BP_SUBCOMMAND_LIST(X)
#undef X

/* The whole program; the returned value is its exit status. */
int bp_cli_main(int argc, char **argv);

#endif
