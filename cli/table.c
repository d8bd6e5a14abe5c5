/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe table: every fault against every state and point, and which faults look alike.
 */
#include "cli/table.h"
#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/progress.h"

enum { KEY_ALL = BP_KEY_OWN };

static const struct argp_option options[] = {
    {"all", KEY_ALL, 0, 0,
     "show every fault at every degree that was solved, not only at its typical one", 0},
    BP_OPTION_JSON,
    BP_OPTION_CSV,
    {0}};

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    (void)arguments, (void)key, (void)value;
    *(bool *)own = true;
    return BP_EXIT_CARRY_ON;
}

static const bp_syntax syntax = {
    .options = options,
    .names = "CIRCUIT",
    .least = 1,
    .most = 1,
    .words = "Works out every fault, over its range of degrees, against every state and test "
             "point; shows what leaves "
             "its good range, and which faults look alike.\vFaults that stand together read the "
             "same at every point in "
             "every state, within the meter's digits: no voltmeter at these points tells them "
             "apart. --json and --csv "
             "hold every degree that was solved.",
    .read_own = read_own,
};

static bp_exit compute(bp_cli *cli, const bp_arguments *arguments, const bp_circuit *circuit,
                       bool all) {
    bp_lab *lab = bp_lab_new(circuit, 0, cli->report);
    bp_progress progress = bp_progress_new(cli, "cases solved");
    bp_table *table = lab ? bp_table_compute(lab, bp_progress_step, &progress, cli->report) : NULL;
    bp_progress_end(&progress);
    bp_print_report(cli);
    if (table && arguments->json)
        bp_table_json(&cli->out, circuit, table);
    else if (table && arguments->csv)
        bp_table_csv(&cli->out, circuit, table);
    else if (table)
        bp_table_text(&cli->out, circuit, table, all);
    bp_exit end = table ? BP_EXIT_DONE : BP_EXIT_SOLVER;
    bp_table_free(&table);
    bp_lab_free(&lab);
    return end;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    bool all = false;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &all);
    bp_circuit *circuit = NULL;
    if (end == BP_EXIT_CARRY_ON)
        circuit = bp_load_circuit(cli, arguments.names[0], &end);
    if (circuit)
        end = compute(cli, &arguments, circuit, all);
    bp_circuit_free(&circuit);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_table = {
    "table", "every fault against every state and point: which look alike?", run};
