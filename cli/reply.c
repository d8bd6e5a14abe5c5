/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/reply.h"

#include <math.h>

#include <backprobe/reply.h>

#include "cli/messages.h"
#include "cli/progress.h"

/* The case says in which states and under which conditions it was measured. */
static bp_exit refuse_what_the_case_says(bp_cli *cli, const bp_arguments *a) {
    const char *option = a->state             ? "state"
                         : a->faults          ? "fault"
                         : !isnan(a->ambient) ? "ambient"
                         : !isnan(a->engine)  ? "engine"
                         : !isnan(a->supply)  ? "supply"
                                              : NULL;
    if (!option)
        return BP_EXIT_CARRY_ON;
    return bp_wrong_usage(cli, "--%s goes with a circuit; a case file says it itself", option);
}

bp_exit bp_reply_draw(bp_cli *cli, const bp_arguments *arguments, const bp_reply_arguments *own) {
    char why[200];
    bp_reply_options options = BP_REPLY_OPTIONS_INIT;
    bp_exit end = refuse_what_the_case_says(cli, arguments);
    if (end != BP_EXIT_CARRY_ON)
        return end;
    if (own->have && !bp_tools_parse(own->have, &options.next.tools, why, sizeof why))
        return bp_wrong_usage(cli, "--have: %s", why);
    bp_progress progress = bp_progress_new(cli, "cases solved");
    options.next.rate = own->rate.per_hour;
    options.next.match.progress = bp_progress_step;
    options.next.match.data = &progress;
    options.currency = own->rate.currency[0] ? own->rate.currency : NULL;
    options.letter = own->letter;
    options.us_units = arguments->us_units;
    bp_casefile *file = NULL;
    bp_status status = bp_casefile_load(arguments->names[0], &file, cli->report);
    if (status == BP_OK)
        status = bp_reply_write(file, &options, own->output, cli->report);
    bp_progress_end(&progress);
    bp_print_report(cli);
    bp_casefile_free(&file);
    return bp_exit_of(status);
}
