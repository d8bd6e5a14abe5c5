/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe scope: what an oscilloscope shows.
 */
#include "cli/scope.h"

#include <backprobe/plot.h>

#include <stdlib.h>
#include <string.h>

#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/progress.h"
#include "cli/question.h"
#include "render/files.h"

enum {
    KEY_OUTPUT = 'o',
    KEY_RED = BP_KEY_OWN,
    KEY_BLACK,
    KEY_CLAMP,
    KEY_WAVEFORM,
    KEY_FROM,
    KEY_TO,
    KEY_AFTER,
    KEY_PAPER
};

enum { MOST = 16 }; /* traces and actions that one command takes */

typedef struct own_arguments {
    const char *output;
    bool letter;
    const char *waveform;
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

static bp_exit read_paper(const bp_arguments *arguments, const char *value, bool *letter) {
    static const char *const sizes[] = {"a4", "letter"};
    size_t index = 0;
    const bp_exit end = bp_read_word(arguments, "paper", value, sizes, 2, &index);
    *letter = index == 1;
    return end;
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
    case KEY_WAVEFORM:
        own->waveform = value;
        break;
    case KEY_PAPER:
        return read_paper(arguments, value, &own->letter);
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
    {"output", KEY_OUTPUT, "FILE", 0,
     "where the picture goes, a name that ends in .pdf, .png or .svg; or the samples: .csv", 0},
    BP_OPTION_STATE,
    BP_OPTION_FAULT,
    {"red", KEY_RED, "PLACE", 0,
     "a trace: where its probe is, a point (E) or a pin (T1.1); may be given several times", 0},
    {"black", KEY_BLACK, "PLACE", 0,
     "the other side of the trace named just before, or of all when none is; the battery's - "
     "unless told",
     0},
    {"clamp", KEY_CLAMP, "WIRE", 0, "a trace: the current through this wire, such as W6", 0},
    {"waveform", KEY_WAVEFORM, "NAME", 0,
     "one of the waveforms that the circuit's file names, with its state and window", 0},
    {"from", KEY_FROM, "TIME", 0, "the window begins here, such as 2ms; the state is entered at 0",
     0},
    {"to", KEY_TO, "TIME", 0, "the window ends here", 0},
    {"after", KEY_AFTER, "ACTION", 0, "do this first, such as 'unplug C12'", 0},
    BP_OPTIONS_CONDITIONS,
    {"paper", KEY_PAPER, "SIZE", 0, "a4 (default) or letter", 0},
    BP_OPTION_UNITS,
    BP_OPTION_JSON,
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
        "stands beside the good circuit's, and a picture shows the good trace behind the other; "
        "samples (.csv, --csv) are those of the faulted one. A run that came to no end is never "
        "drawn; the exit status is then 3.",
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

static bool ends_in(const char *name, const char *end) {
    const size_t n = strlen(name), m = strlen(end);
    return n > m && strcmp(name + n - m, end) == 0;
}

/* What is shown: the asked one may have the good circuit's beside it. */
typedef struct answer {
    bp_lab *lab;
    const bp_scope_question *question;
    bp_scope_run *good, *fault; /* fault NULL: none was asked for */
} answer;

static bp_exit write_file(bp_cli *cli, const bp_arguments *arguments, const own_arguments *own,
                          const answer *a) {
    if (ends_in(own->output, ".csv"))
        return write_csv(cli, a->fault ? a->fault : a->good, own->output);
    const bp_plot_options page = {own->letter, arguments->us_units};
    return bp_exit_of(
        bp_plot_write(a->lab, a->question, a->good, a->fault, &page, own->output, cli->report));
}

static bp_exit show(bp_cli *cli, const bp_arguments *arguments, const own_arguments *own,
                    const answer *a) {
    const bp_scope_run *asked = a->fault ? a->fault : a->good;
    bp_exit end = BP_EXIT_DONE;
    if (asked->why)
        bp_say(cli, "%s", asked->why);
    else if (own->output)
        end = write_file(cli, arguments, own, a);
    if (arguments->csv)
        bp_scope_csv(&cli->out, asked);
    else if (arguments->json)
        bp_scope_json(&cli->out, a->good, a->fault);
    else
        bp_scope_text(&cli->out, a->good, a->fault);
    return end == BP_EXIT_DONE && asked->why ? BP_EXIT_SOLVER : end;
}

static bp_scope_question question_of(const bp_arguments *arguments, const own_arguments *own) {
    bp_scope_question q = BP_SCOPE_QUESTION_INIT;
    q.state = arguments->state;
    q.after = own->after;
    q.n_after = own->n_after;
    q.traces = own->n_traces ? own->trace : NULL;
    q.n_traces = own->n_traces;
    q.from = own->from;
    q.to = own->to;
    q.ambient = arguments->ambient;
    q.engine = arguments->engine;
    q.supply = arguments->supply;
    return q;
}

static bp_exit scope(bp_cli *cli, const bp_arguments *arguments, const own_arguments *own,
                     const bp_circuit *circuit) {
    const bp_scope_question q = question_of(arguments, own);
    bp_scope_question questions[2] = {q, q};
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
        end = show(cli, arguments, own, &(answer){lab, &q, runs[0], runs[1]});
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

static bp_exit no_such_waveform(const bp_arguments *arguments, const char *name,
                                const bp_circuit *circuit) {
    char *all = bp_format("%s", "");
    const size_t n = bp_circuit_n_waveforms(circuit);
    for (size_t i = 0; i < n; i++) {
        char *more =
            bp_format("%s%s%s", all, i ? ", " : "", bp_circuit_waveform_info(circuit, i).id);
        free(all);
        all = more;
    }
    bp_say(arguments->cli, "--waveform: %s has no waveform '%s'; %s%s", circuit->id, name,
           n ? "there are " : "its file names none", all);
    free(all);
    return BP_EXIT_INPUT;
}

/* Takes state, traces and window of a named waveform, each where it was not given. */
static bp_exit take_waveform(bp_arguments *arguments, own_arguments *own,
                             const bp_circuit *circuit) {
    const size_t n = bp_circuit_n_waveforms(circuit);
    size_t index = 0;
    while (index < n && strcmp(bp_circuit_waveform_info(circuit, index).id, own->waveform) != 0)
        index++;
    if (index == n)
        return no_such_waveform(arguments, own->waveform, circuit);
    const bp_waveform_info info = bp_circuit_waveform_info(circuit, index);
    arguments->state = arguments->state ? arguments->state : info.state;
    own->from = isnan(own->from) ? info.from : own->from;
    own->to = isnan(own->to) ? info.to : own->to;
    if (own->n_traces == 0)
        for (size_t t = 0; t < info.n_traces && t < MOST; t++)
            own->trace[own->n_traces++] = bp_circuit_waveform_trace(circuit, index, t);
    return BP_EXIT_CARRY_ON;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    static const char *const endings[] = {".pdf", ".png", ".svg", ".csv"};
    bp_arguments arguments;
    own_arguments own = {.from = NAN, .to = NAN};
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &own);
    bp_circuit *circuit = NULL;
    bool known = !own.output;
    for (size_t i = 0; i < sizeof endings / sizeof *endings && !known; i++)
        known = ends_in(own.output, endings[i]);
    if (end == BP_EXIT_CARRY_ON && !known)
        end = bp_wrong_usage(cli, "where does the picture go? Give -o FILE.pdf, .png or .svg, or "
                                  "FILE.csv for the samples");
    share_black(&own);
    if (end == BP_EXIT_CARRY_ON)
        circuit = bp_load_circuit(cli, arguments.names[0], &end);
    if (circuit)
        end = own.waveform ? take_waveform(&arguments, &own, circuit) : BP_EXIT_CARRY_ON;
    if (circuit && end == BP_EXIT_CARRY_ON)
        end = bp_question_check(&arguments, circuit);
    if (circuit && end == BP_EXIT_CARRY_ON)
        end = scope(cli, &arguments, &own, circuit);
    bp_circuit_free(&circuit);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_scope = {
    "scope", "shows what happens over time: waveforms and what is read off them", run};
