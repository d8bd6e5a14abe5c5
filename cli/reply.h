/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 'backprobe sheet CASE': the reply sheet.
 */
#ifndef BP_CLI_REPLY_H
#define BP_CLI_REPLY_H

#include "cli/arguments.h"
#include "cli/rate.h"

typedef struct bp_reply_arguments {
    const char *output, *have; /* have NULL: every tool */
    bool letter;
    bp_rate rate;
} bp_reply_arguments;

bp_exit bp_reply_draw(bp_cli *cli, const bp_arguments *arguments, const bp_reply_arguments *own);

#endif
