/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe scope: what an oscilloscope shows.
 */
#include "cli/scope.h"

#include <stdlib.h>
#include <string.h>

#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/progress.h"
#include "cli/question.h"
#include "render/files.h"

enum { KEY_OUTPUT = 'o', KEY_RED = BP_KEY_OWN, KEY_BLACK, KEY_CLAMP, KEY_FROM, KEY_TO, KEY_AFTER };

enum { MOST = 16 }; /* traces and actions that one command takes */

typedef struct own_arguments {
    const char *output;
    const char *black; /* for every trace that has none of its own */
    bp_scope_trace trace[MOST];
    size_t n_traces;
    const char *after[MOST];
    size_t n_after;
    double from, to;
} own_arguments;

static bp_exit add_trace(const bp_arguments *arguments, own_arguments *own, const char *red,
                         const char *clamp) {
    if (own->n_traces == MOST)
        return bp_wrong_usage(arguments->cli, "no more than %d traces at once", MOST);
    own->trace[own->n_traces++] = (bp_scope_trace){.red = red, .clamp = clamp};
    return BP_EXIT_CARRY_ON;
}

static bp_exit read_time(const bp_arguments *arguments, const char *option, const char *value,
                         double *to) {
    char why[200];
    if (bp_quantity_parse(value, BP_UNIT_SECOND, to, why, sizeof why) == BP_OK)
        return BP_EXIT_CARRY_ON;
    return bp_wrong_usage(arguments->cli, "--%s: %s", option, why);
}

static void set_black(own_arguments *own, const char *value) {
    if (own->n_traces && own->trace[own->n_traces - 1].red)
        own->trace[own->n_traces - 1].black = value;
    else
        own->black = value;
}

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *data) {
    own_arguments *own = data;
    switch (key) {
    case KEY_OUTPUT:
        own->output = value;
        break;
    case KEY_RED:
        return add_trace(arguments, own, value, NULL);
    case KEY_CLAMP:
        return add_trace(arguments, own, NULL, value);
    case KEY_BLACK:
        set_black(own, value);
        break;
    case KEY_FROM:
        return read_time(arguments, "from", value, &own->from);
    case KEY_TO:
        return read_time(arguments, "to", value, &own->to);
    case KEY_AFTER:
        if (own->n_after == MOST)
            return bp_wrong_usage(arguments->cli, "--after: no more than %d at once", MOST);
        own->after[own->n_after++] = value;
        break;
    }
    return BP_EXIT_CARRY_ON;
}

static const struct argp_option options[] = {
    {"output", KEY_OUTPUT, "FILE", 0, "where the samples go: a name that ends in .csv", 0},
    BP_OPTION_STATE,
    BP_OPTION_FAULT,
    {"red", KEY_RED, "PLACE", 0,
     "a trace: where its probe is, a point (E) or a pin (T1.1); may be given several times", 0},
    {"black", KEY_BLACK, "PLACE", 0,
     "the other side of the trace named just before, or of all when none is; the battery's - "
     "unless told",
     0},
    {"clamp", KEY_CLAMP, "WIRE", 0, "a trace: the current through this wire, such as W6", 0},
    {"from", KEY_FROM, "TIME", 0, "the window begins here, such as 2ms; the state is entered at 0",
     0},
    {"to", KEY_TO, "TIME", 0, "the window ends here", 0},
    {"after", KEY_AFTER, "ACTION", 0, "do this first, such as 'unplug C12'", 0},
    BP_OPTIONS_CONDITIONS,
    BP_OPTION_CSV,
    {0}};

static const bp_syntax syntax = {
    .options = options,
    .names = "CIRCUIT",
    .least = 1,
    .most = 1,
    .words =
        "Shows what happens over time: waveforms and what is read off them.\vWithout --red and "
        "--clamp the circuit's own waveform of the state is taken. With --fault, what was measured "
        "stands beside the good circuit's; samples (-o, --csv) are those of the faulted one. The "
        "exit status is 3 when the run came to no end.",
    .read_own = read_own,
};

static bp_exit write_csv(bp_cli *cli, const bp_scope_run *run, const char *path) {
    char *text = NULL;
    size_t size = 0;
    FILE *f = bp_must(open_memstream(&text, &size));
    bp_screen to = bp_screen_of(f);
    bp_scope_csv(&to, run);
    if (fclose(f) != 0)
        bp_must(NULL);
    char *name = bp_format("%s", path);
    const bp_file file = {.path = name, .data = (unsigned char *)text, .size = size, .room = size};
    const bp_status status = bp_files_write(&file, 1, cli->report);
    free(text);
    free(name);
    return bp_exit_of(status);
}

static bp_exit show(bp_cli *cli, const bp_arguments *arguments, const own_arguments *own,
                    const bp_scope_run *healthy, const bp_scope_run *faulted) {
    const bp_scope_run *asked = faulted ? faulted : healthy;
    bp_exit end = BP_EXIT_DONE;
    if (asked->why)
        bp_say(cli, "%s", asked->why);
    else if (own->output)
        end = write_csv(cli, asked, own->output);
    if (arguments->csv)
        bp_scope_csv(&cli->out, asked);
    else
        bp_scope_text(&cli->out, healthy, faulted);
    return end == BP_EXIT_DONE && asked->why ? BP_EXIT_SOLVER : end;
}

static bp_exit scope(bp_cli *cli, const bp_arguments *arguments, const own_arguments *own,
                     const bp_circuit *circuit) {
    bp_scope_question questions[2] = {BP_SCOPE_QUESTION_INIT};
    bp_scope_question *q = &questions[0];
    q->state = arguments->state;
    q->after = own->after;
    q->n_after = own->n_after;
    q->traces = own->n_traces ? own->trace : NULL;
    q->n_traces = own->n_traces;
    q->from = own->from;
    q->to = own->to;
    q->ambient = arguments->ambient;
    q->engine = arguments->engine;
    q->supply = arguments->supply;
    questions[1] = *q;
    questions[1].faults = arguments->faults;
    bp_scope_run *runs[2] = {NULL, NULL};
    const size_t n = arguments->faults ? 2 : 1;
    bp_lab *lab = bp_lab_new(circuit, 0, cli->report);
    bp_exit end = lab ? BP_EXIT_INPUT : BP_EXIT_SOLVER;
    bp_progress progress = bp_progress_new(cli, "runs done");
    if (lab)
        bp_lab_scope_many(lab, questions, n, runs, bp_progress_step, &progress, cli->report);
    bp_progress_end(&progress);
    if (runs[0] && (n == 1 || runs[1]))
        end = show(cli, arguments, own, runs[0], runs[1]);
    bp_print_report(cli);
    bp_scope_run_free(&runs[0]);
    bp_scope_run_free(&runs[1]);
    bp_lab_free(&lab);
    return end;
}

/* A black lead that was named before any red one is that of all. */
static void share_black(own_arguments *own) {
    for (size_t i = 0; i < own->n_traces; i++)
        if (own->trace[i].red && !own->trace[i].black)
            own->trace[i].black = own->black;
}

static bool ends_in(const char *name, const char *end) {
    const size_t n = strlen(name), m = strlen(end);
    return n > m && strcmp(name + n - m, end) == 0;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    own_arguments own = {.from = NAN, .to = NAN};
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &own);
    bp_circuit *circuit = NULL;
    if (end == BP_EXIT_CARRY_ON && own.output && !ends_in(own.output, ".csv"))
        end = bp_wrong_usage(cli, "where do the samples go? Give -o FILE.csv");
    share_black(&own);
    if (end == BP_EXIT_CARRY_ON)
        circuit = bp_load_circuit(cli, arguments.names[0], &end);
    if (circuit)
        end = bp_question_check(&arguments, circuit);
    if (circuit && end == BP_EXIT_CARRY_ON)
        end = scope(cli, &arguments, &own, circuit);
    bp_circuit_free(&circuit);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_scope = {
    "scope", "shows what happens over time: waveforms and what is read off them", run};
