/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe show: what a circuit is made of.
 */
#include <stdlib.h>

#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/show.h"

enum { KEY_VALUES = BP_KEY_OWN };

static const struct argp_option options[] = {
    {"values", KEY_VALUES, 0, 0,
     "also every value that the predictions rest on, and where it comes from", 0},
    BP_OPTION_UNITS,
    BP_OPTION_JSON,
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
    .words =
        "Explains a circuit in words, from feed to ground, and shows its parts, wires, states and "
        "test points.\vThe resistance of a "
        "wire is that of its "
        "copper at 20 degC, without the joints at its ends.",
    .read_own = read_own,
};

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    bool values = false;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &values);
    bp_circuit *circuit = NULL;
    if (end == BP_EXIT_CARRY_ON)
        circuit = bp_load_circuit(cli, arguments.names[0], &end);
    if (circuit && arguments.json)
        bp_show_json(&cli->out, circuit);
    else if (circuit)
        bp_show_text(&cli->out, circuit, arguments.us_units, values);
    bp_circuit_free(&circuit);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_show = {
    "show", "explains a circuit, lists its parts, wires, states, points", run};
