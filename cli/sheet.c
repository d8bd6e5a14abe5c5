/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe sheet: a circuit's readings, drops and wiring on paper.
 */
#include <backprobe/sheet.h>

#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/question.h"

enum { KEY_OUTPUT = 'o', KEY_PAPER = BP_KEY_OWN };

static const struct argp_option options[] = {
    {"output", KEY_OUTPUT, "FILE", 0,
     "where the sheet goes: a name that ends in .pdf, .png or .svg", 0},
    BP_OPTION_STATE,
    BP_OPTION_FAULT,
    BP_OPTIONS_CONDITIONS,
    {"paper", KEY_PAPER, "SIZE", 0, "a4 (default) or letter", 0},
    BP_OPTION_UNITS,
    {0}};

typedef struct own_arguments {
    const char *output;
    bool letter;
} own_arguments;

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    static const char *const sizes[] = {"a4", "letter"};
    own_arguments *paper = own;
    if (key == KEY_OUTPUT) {
        paper->output = value;
        return BP_EXIT_CARRY_ON;
    }
    size_t index = 0;
    bp_exit end = bp_read_word(arguments, "paper", value, sizes, 2, &index);
    paper->letter = index == 1;
    return end;
}

static const bp_syntax syntax = {
    .options = options,
    .names = "CIRCUIT",
    .least = 1,
    .most = 1,
    .words = "Draws the test-point sheet of a circuit: wiring, readings, voltage drops, "
             "cautions.\vWithout --state, "
             "the state in which the loads take most is drawn. With --fault, the faulted readings "
             "stand beside the good "
             "ones. A file that is there already is replaced only when the new sheet is complete.",
    .read_own = read_own,
};

static bp_exit draw(bp_cli *cli, const bp_arguments *arguments, const own_arguments *paper) {
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
    own_arguments paper = {0};
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &paper);
    if (end == BP_EXIT_CARRY_ON && !paper.output)
        end = bp_wrong_usage(cli, "where does the sheet go? Give -o FILE.pdf, .png or .svg");
    else if (end == BP_EXIT_CARRY_ON)
        end = draw(cli, &arguments, &paper);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_sheet = {
    "sheet", "draws the test-point sheet of a circuit (PDF, PNG, SVG)", run};
