/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is said on stderr, and what a failure means for the exit status.
 */
#ifndef BP_CLI_MESSAGES_H
#define BP_CLI_MESSAGES_H

#include "cli/subcommand.h"

/* "backprobe predict: TEXT" on stderr. */
void bp_say(const bp_cli *cli, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The same for wrong usage, with a line that points to --help. Always BP_EXIT_INPUT. */
bp_exit bp_wrong_usage(const bp_cli *cli, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* One message as one line: "horn.yaml:12:5: mistake: TEXT". */
void bp_print_message(const bp_screen *screen, const bp_message *message);

/* Every message of the report on stderr; the report is empty afterwards. */
void bp_print_report(bp_cli *cli);

/* The exit status that goes with a status of the library. */
bp_exit bp_exit_of(bp_status status);

/* Whether a name on the command line is that of a case file. */
bool bp_is_case(const char *name);

/* CIRCUIT as written by the user. NULL: it was said why, and *end is the exit status. */
bp_circuit *bp_load_circuit(bp_cli *cli, const char *circuit, bp_exit *end);

#endif
