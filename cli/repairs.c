/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe repairs: the book of proved repairs.
 */
#include "cli/repairs.h"

#include <stdlib.h>
#include <string.h>

#include "circuits/circuit.h"
#include "cli/messages.h"

static const struct {
    const char *word;
    bp_exit (*run)(bp_cli *cli, int argc, char **argv);
} deeds[] = {
    {"list", bp_repairs_run_list},
    {"add", bp_repairs_run_add},
    {"strike", bp_repairs_run_strike},
    {"export", bp_repairs_run_export},
};
enum { N_DEEDS = sizeof deeds / sizeof *deeds };

static const struct argp_option no_options[] = {{0}};

static const bp_syntax syntax = {
    .options = no_options,
    .names = "list|add|strike|export",
    .least = 1,
    .most = 1,
    .words =
        "Keeps the book of proved repairs: which fault it was, which reading proved it, what had "
        "caused it. 'list' shows it, 'add' writes a repair into it, 'strike' takes one out of the "
        "count, 'export' prints it as comma-separated values.\vWhat was found more often is "
        "suspected sooner: each repair adds 1 to the weight of its fault. 'backprobe repairs add "
        "--help' tells what an entry needs.",
};

/* No word that is known: let the options be read, for --help, and say what is wrong. */
static bp_exit run_without(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    const char *words[N_DEEDS];
    for (size_t i = 0; i < N_DEEDS; i++)
        words[i] = deeds[i].word;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, NULL);
    if (end == BP_EXIT_CARRY_ON) {
        const char *near = bp_near_miss(arguments.names[0], words, N_DEEDS);
        end = near ? bp_wrong_usage(cli,
                                    "'%s' is none of list, add, strike, export; did you mean "
                                    "'%s'?",
                                    arguments.names[0], near)
                   : bp_wrong_usage(cli, "'%s' is none of list, add, strike, export",
                                    arguments.names[0]);
    }
    bp_arguments_free(&arguments);
    return end;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    for (size_t i = 0; i < N_DEEDS && argc > 1; i++) {
        if (strcmp(argv[1], deeds[i].word) != 0)
            continue;
        char *name = bp_format("repairs %s", deeds[i].word);
        cli->name = name;
        bp_exit end = deeds[i].run(cli, argc - 1, argv + 1);
        cli->name = "repairs";
        free(name);
        return end;
    }
    return run_without(cli, argc, argv);
}

const bp_subcommand bp_subcommand_repairs = {"repairs", "the book of proved repairs", run};
