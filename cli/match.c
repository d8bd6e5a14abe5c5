/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe match: which faults explain a case's readings.
 */
#include <math.h>
#include <stdlib.h>

#include <backprobe/match.h>

#include "cli/arguments.h"
#include "cli/match.h"
#include "cli/messages.h"
#include "cli/progress.h"

enum { KEY_ADD = BP_KEY_OWN, KEY_REPAIRS };

enum { MOST_LINES = 60 };

typedef struct own_arguments {
    const char *add[MOST_LINES];
    size_t n_add;
    const char *repairs;
} own_arguments;

static const struct argp_option options[] = {
    {"add", KEY_ADD, "READING", 0,
     "add a reading to the case file first, such as 'state running, red E, 12.1 V' or 'state "
     "running, observe M1, off'; may be given several times. The old file is kept as FILE.bak",
     0},
    {"file", KEY_REPAIRS, "BOOK", 0,
     "the book of repairs; the one in your data folder unless told, and none for ''", 0},
    BP_OPTION_JSON,
    {0}};

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    own_arguments *o = own;
    if (key == KEY_REPAIRS)
        o->repairs = value;
    else if (o->n_add == MOST_LINES)
        return bp_wrong_usage(arguments->cli, "--add: no more than %d at once", MOST_LINES);
    else
        o->add[o->n_add++] = value;
    return BP_EXIT_CARRY_ON;
}

static const bp_syntax syntax = {
    .options = options,
    .names = "CASE",
    .least = 1,
    .most = 1,
    .words =
        "Ranks the faults that explain the readings of a case file.\vA case file holds a circuit, "
        "a "
        "complaint and what was measured; docs/case-file.md describes it. Faults that no reading "
        "so far tells apart stand together. The exit status is 1 when nothing in the list explains "
        "the readings.",
    .read_own = read_own,
};

static bp_exit add_all(bp_cli *cli, const char *path, const own_arguments *own) {
    for (size_t i = 0; i < own->n_add; i++) {
        const bp_status status = bp_casefile_add(path, own->add[i], cli->report);
        bp_print_report(cli);
        if (status != BP_OK)
            return bp_exit_of(status);
    }
    return BP_EXIT_CARRY_ON;
}

static bp_exit match(bp_cli *cli, const bp_arguments *arguments, const own_arguments *own,
                     const bp_casefile *file) {
    bp_match_options o = BP_MATCH_OPTIONS_INIT;
    bp_progress progress = bp_progress_new(cli, "cases solved");
    o.repairs = own->repairs;
    o.progress = bp_progress_step;
    o.data = &progress;
    bp_match *m = bp_match_new(file, &o, cli->report);
    bp_progress_end(&progress);
    bp_print_report(cli);
    if (!m)
        return BP_EXIT_SOLVER;
    if (arguments->json)
        bp_match_json(&cli->out, file, m);
    else
        bp_match_text(&cli->out, file, m);
    const bp_exit end = bp_match_is_no(m) ? BP_EXIT_NO : BP_EXIT_DONE;
    bp_match_free(&m);
    return end;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    own_arguments own = {.n_add = 0};
    bp_casefile *file = NULL;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &own);
    if (end == BP_EXIT_CARRY_ON)
        end = add_all(cli, arguments.names[0], &own);
    if (end == BP_EXIT_CARRY_ON) {
        const bp_status status = bp_casefile_load(arguments.names[0], &file, cli->report);
        bp_print_report(cli);
        end = status == BP_OK ? match(cli, &arguments, &own, file) : bp_exit_of(status);
    }
    bp_casefile_free(&file);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_match = {"match",
                                           "ranks the faults that explain a case's readings", run};
