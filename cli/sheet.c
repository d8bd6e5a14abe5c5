/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe sheet: a circuit's readings, drops and wiring on paper; or the reply to a case.
 */
#include <backprobe/sheet.h>

#include <math.h>

#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/question.h"
#include "cli/reply.h"

enum { KEY_OUTPUT = 'o', KEY_PAPER = BP_KEY_OWN, KEY_RATE, KEY_HAVE };

static const struct argp_option options[] = {
    {"output", KEY_OUTPUT, "FILE", 0,
     "where the sheet goes: a name that ends in .pdf, .png or .svg", 0},
    BP_OPTION_STATE,
    BP_OPTION_FAULT,
    BP_OPTIONS_CONDITIONS,
    {"paper", KEY_PAPER, "SIZE", 0, "a4 (default) or letter", 0},
    BP_OPTION_UNITS,
    {"rate", KEY_RATE, "MONEY", 0, "of a case: what an hour of work costs, such as '95 EUR'", 0},
    {"have", KEY_HAVE, "TOOLS", 0, "of a case: what is at hand, such as meter,lamp", 0},
    {0}};

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    static const char *const sizes[] = {"a4", "letter"};
    bp_reply_arguments *paper = own;
    if (key == KEY_RATE)
        return bp_rate_read(value, &paper->rate)
                   ? BP_EXIT_CARRY_ON
                   : bp_wrong_usage(arguments->cli,
                                    "--rate: '%s' is no price of an hour: expected, for instance, "
                                    "'95 EUR'",
                                    value);
    if (key == KEY_OUTPUT)
        paper->output = value;
    if (key == KEY_HAVE)
        paper->have = value;
    if (key != KEY_PAPER)
        return BP_EXIT_CARRY_ON;
    size_t index = 0;
    bp_exit end = bp_read_word(arguments, "paper", value, sizes, 2, &index);
    paper->letter = index == 1;
    return end;
}

static const bp_syntax syntax = {
    .options = options,
    .names = "CIRCUIT|CASE",
    .least = 1,
    .most = 1,
    .words = "Draws the test-point sheet of a circuit: wiring, readings, voltage drops, "
             "cautions. Of a case file, draws the reply to it: what is known, what to measure next "
             "and where, "
             "what each reading will mean, what not to buy yet.\vWithout --state, "
             "the state in which the loads take most is drawn. With --fault, the faulted readings "
             "stand beside the good "
             "ones. A file that is there already is replaced only when the new sheet is complete.",
    .read_own = read_own,
};

static bp_exit draw(bp_cli *cli, const bp_arguments *arguments, const bp_reply_arguments *paper) {
    bp_exit end;
    bp_circuit *circuit = bp_load_circuit(cli, arguments->names[0], &end);
    if (circuit)
        end = bp_question_check(arguments, circuit);
    if (end != BP_EXIT_CARRY_ON) {
        bp_circuit_free(&circuit);
        return end;
    }
    bp_sheet_options sheet = BP_SHEET_OPTIONS_INIT;
    sheet.state = arguments->state;
    sheet.faults = arguments->faults;
    sheet.letter = paper->letter;
    sheet.us_units = arguments->us_units;
    sheet.ambient = arguments->ambient;
    sheet.engine = arguments->engine;
    sheet.supply = arguments->supply;
    bp_lab *lab = bp_lab_new(circuit, 0, cli->report);
    end =
        lab ? bp_exit_of(bp_sheet_write(lab, &sheet, paper->output, cli->report)) : BP_EXIT_SOLVER;
    bp_print_report(cli);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    return end;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    bp_reply_arguments paper = {.rate.per_hour = NAN};
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &paper);
    if (end == BP_EXIT_CARRY_ON && !paper.output)
        end = bp_wrong_usage(cli, "where does the sheet go? Give -o FILE.pdf, .png or .svg");
    else if (end == BP_EXIT_CARRY_ON && bp_is_case(arguments.names[0]))
        end = bp_reply_draw(cli, &arguments, &paper);
    else if (end == BP_EXIT_CARRY_ON && (paper.have || !isnan(paper.rate.per_hour)))
        end = bp_wrong_usage(cli, "--rate and --have go with a case file");
    else if (end == BP_EXIT_CARRY_ON)
        end = draw(cli, &arguments, &paper);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_sheet = {
    "sheet", "draws the test-point sheet of a circuit, or the reply to a case", run};
