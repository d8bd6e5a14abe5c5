/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe next: the tests worth making now.
 */
#include <math.h>
#include <stdlib.h>

#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/next.h"
#include "cli/progress.h"

enum { KEY_HAVE = BP_KEY_OWN, KEY_PLAN, KEY_RATE, KEY_TESTS, KEY_REPAIRS };

static const struct argp_option options[] = {
    {"have", KEY_HAVE, "TOOLS", 0,
     "what is at hand: some of meter, clamp, lamp, led-lamp with commas between; everything unless "
     "told, and only eyes and ears for ''",
     0},
    {"tests", KEY_TESTS, "N", 0, "list so many tests at most, 1 to 20; 3 unless told", 0},
    {"plan", KEY_PLAN, 0, 0,
     "the cheapest way to a fix as a tree, with its minutes and money beside replacing by guess",
     0},
    {"rate", KEY_RATE, "MONEY", 0, "what an hour costs, a bare number in any currency", 0},
    {"file", KEY_REPAIRS, "BOOK", 0,
     "the book of repairs; the one in your data folder unless told, and none for ''", 0},
    BP_OPTION_JSON,
    {0}};

typedef struct own_arguments {
    bp_next_options next;
} own_arguments;

static bp_exit read_rate(bp_cli *cli, const char *value, double *rate) {
    char *end;
    *rate = strtod(value, &end);
    if (end == value || *end || !(*rate >= 0) || *rate > 1e6)
        return bp_wrong_usage(
            cli, "--rate: \"%s\" is no rate: write what an hour costs, such as 95", value);
    return BP_EXIT_CARRY_ON;
}

static bp_exit read_count(bp_cli *cli, const char *value, size_t *count) {
    char *end;
    const long n = strtol(value, &end, 10);
    if (end == value || *end || n < 1 || n > 20)
        return bp_wrong_usage(cli, "--tests: \"%s\" is no number from 1 to 20", value);
    *count = (size_t)n;
    return BP_EXIT_CARRY_ON;
}

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    bp_next_options *o = &((own_arguments *)own)->next;
    char why[200];
    switch (key) {
    case KEY_HAVE:
        return bp_tools_parse(value, &o->tools, why, sizeof why)
                   ? BP_EXIT_CARRY_ON
                   : bp_wrong_usage(arguments->cli, "--have: %s", why);
    case KEY_RATE:
        return read_rate(arguments->cli, value, &o->rate);
    case KEY_TESTS:
        return read_count(arguments->cli, value, &o->most);
    case KEY_REPAIRS:
        o->match.repairs = value;
        return BP_EXIT_CARRY_ON;
    default:
        o->plan = true;
        return BP_EXIT_CARRY_ON;
    }
}

static const bp_syntax syntax = {
    .options = options,
    .names = "CASE",
    .least = 1,
    .most = 1,
    .words =
        "Names the tests worth making now for a case file, by what they tell a minute: how to make "
        "each, and what each reading would leave.\vWhen no test would change the answer, it says "
        "what is left. Add what was read with `backprobe match CASE --add`, then ask again.",
    .read_own = read_own,
};

static bp_exit answer(bp_cli *cli, const bp_arguments *arguments, const own_arguments *own,
                      const bp_casefile *file) {
    bp_progress progress = bp_progress_new(cli, "cases solved");
    bp_next_options options_now = own->next;
    options_now.match.progress = bp_progress_step;
    options_now.match.data = &progress;
    bp_next *n = bp_next_new(file, &options_now, cli->report);
    bp_progress_end(&progress);
    bp_print_report(cli);
    if (!n)
        return BP_EXIT_SOLVER;
    if (arguments->json)
        bp_next_json(&cli->out, file, n);
    else
        bp_next_text(&cli->out, file, n);
    if (!arguments->json && bp_next_plan(n))
        bp_plan_text(&cli->out, bp_next_plan(n), own->next.rate);
    bp_next_free(&n);
    return BP_EXIT_DONE;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    own_arguments own = {BP_NEXT_OPTIONS_INIT};
    bp_casefile *file = NULL;
    own.next.most = 3;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &own);
    if (end == BP_EXIT_CARRY_ON) {
        const bp_status status = bp_casefile_load(arguments.names[0], &file, cli->report);
        bp_print_report(cli);
        end = status == BP_OK ? answer(cli, &arguments, &own, file) : bp_exit_of(status);
    }
    bp_casefile_free(&file);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_next = {"next", "names the tests worth making now", run};
