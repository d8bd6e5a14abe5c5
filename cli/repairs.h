/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files of 'backprobe repairs' share.
 */
#ifndef BP_CLI_REPAIRS_H
#define BP_CLI_REPAIRS_H

#include <backprobe/repairs.h>

#include "cli/arguments.h"

/* One of the things that can be done with the book; argv[0] is its word. */
bp_exit bp_repairs_run_list(bp_cli *cli, int argc, char **argv);
bp_exit bp_repairs_run_add(bp_cli *cli, int argc, char **argv);
bp_exit bp_repairs_run_strike(bp_cli *cli, int argc, char **argv);
bp_exit bp_repairs_run_export(bp_cli *cli, int argc, char **argv);

enum { BP_KEY_FILE = BP_KEY_OWN, BP_KEY_REPAIRS_OWN };

#define BP_OPTION_FILE                                                                             \
    {                                                                                              \
        "file", BP_KEY_FILE, "FILE", 0,                                                            \
            "the book; backprobe/repairs.sqlite in the XDG data folder unless told", 0             \
    }

#endif
