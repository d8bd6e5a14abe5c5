/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe predict: what the meter shows.
 */
#include <stdlib.h>
#include <string.h>

#include "cli/arguments.h"
#include "cli/messages.h"
#include "cli/predict.h"
#include "cli/progress.h"
#include "cli/question.h"

enum { KEY_INSTRUMENT = BP_KEY_OWN, KEY_RED, KEY_BLACK, KEY_AT, KEY_AFTER, KEY_MIN_MAX, KEY_PEAK };

enum { MOST = 64 }; /* leads and actions that one command takes */

/* What only predict is asked. */
typedef struct own_arguments {
    bp_instrument instrument;
    const char *red[MOST], *after[MOST];
    size_t n_red, n_after;
    const char *black, *at;
    bool min_max, peak;
} own_arguments;

static bp_exit read_instrument(const bp_arguments *arguments, const char *value,
                               own_arguments *leads) {
    const char *names[BP_N_INSTRUMENTS];
    size_t index = 0;
    for (int i = 0; i < BP_N_INSTRUMENTS; i++)
        names[i] = bp_instrument_name((bp_instrument)i);
    bp_exit end = bp_read_word(arguments, "instrument", value, names, BP_N_INSTRUMENTS, &index);
    leads->instrument = (bp_instrument)index;
    return end;
}

static bp_exit add(const bp_arguments *arguments, const char *option, const char *value,
                   const char **list, size_t *n) {
    if (*n == MOST)
        return bp_wrong_usage(arguments->cli, "--%s: no more than %d at once", option, MOST);
    list[(*n)++] = value;
    return BP_EXIT_CARRY_ON;
}

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    own_arguments *leads = own;
    switch (key) {
    case KEY_INSTRUMENT:
        return read_instrument(arguments, value, leads);
    case KEY_RED:
        return add(arguments, "red", value, leads->red, &leads->n_red);
    case KEY_AFTER:
        return add(arguments, "after", value, leads->after, &leads->n_after);
    case KEY_BLACK:
        leads->black = value;
        break;
    case KEY_AT:
        leads->at = value;
        break;
    case KEY_MIN_MAX:
        leads->min_max = true;
        break;
    case KEY_PEAK:
        leads->min_max = leads->peak = true;
        break;
    }
    return BP_EXIT_CARRY_ON;
}

static const struct argp_option options[] = {
    BP_OPTION_STATE,
    BP_OPTION_FAULT,
    {"instrument", KEY_INSTRUMENT, "NAME", 0,
     "volts (default), volts-loaded, millivolts, ohms, amps, amps-clamp, diode, test-lamp, "
     "led-lamp, volts-ac, duty or hertz",
     0},
    {"red", KEY_RED, "PLACE", 0,
     "where the red lead is: a point (E), a pin (K2.30, or K2/30 for the part's own side); "
     "may be given several times",
     0},
    {"black", KEY_BLACK, "PLACE", 0, "where the black lead is; the battery's - unless told", 0},
    {"at", KEY_AT, "PART", 0,
     "amps: take this part out and put the meter in its place, such as F4; amps-clamp: the wire "
     "that it is around, such as W6, else every wire in turn",
     0},
    {"min-max", KEY_MIN_MAX, NULL, 0,
     "show also the minimum and maximum that the meter held while the states before were gone "
     "through, and while they ran where the circuit's file names a waveform",
     0},
    {"peak", KEY_PEAK, NULL, 0,
     "the same with the meter's peak mode: what lasts 1 ms counts, else 100 ms", 0},
    {"after", KEY_AFTER, "ACTION", 0,
     "do this first: 'unplug C12', 'pull K2', 'jumper K2.30 K2.87', 'feed M1.1', 'bypass G3', "
     "'bulb-for F4 21W' ... (an unknown one is answered with them all); may be given several times",
     0},
    BP_OPTIONS_CONDITIONS,
    BP_OPTION_UNITS,
    BP_OPTION_JSON,
    BP_OPTION_CSV,
    {0}};

static const bp_syntax syntax = {
    .options = options,
    .names = "CIRCUIT",
    .least = 1,
    .most = 1,
    .words = "Predicts what the meter shows: at every test point and in every state, unless told "
             "otherwise.\vWith --fault the faulted readings stand beside the good ones, and what "
             "left its good range is "
             "marked. The good range holds 95 % of good circuits, spread of parts and meter "
             "included. The exit status is "
             "3 when a state could not be solved.",
    .read_own = read_own,
};

/* The pairs of leads; an empty list means every point to the reference. Owned by the caller. */
static bp_pair *pairs_of(const bp_circuit *circuit, const own_arguments *leads, size_t *n) {
    bool points = leads->n_red == 0 && leads->black;
    *n = points ? circuit->n_points : leads->n_red;
    bp_pair *pairs = bp_must(calloc(*n + 1, sizeof *pairs));
    for (size_t i = 0; i < *n; i++)
        pairs[i] = (bp_pair){points ? circuit->points[i].id : leads->red[i], leads->black};
    return pairs;
}

static bool is_unsolved(const bp_answer *answer) {
    for (size_t i = 0; answer && i < answer->n_states; i++)
        if (answer->states[i].why)
            return true;
    return false;
}

/* Asks for the healthy circuit where it is shown, and for the faulted one. BP_EXIT_DONE, or why
 * there is no answer. */
static bp_exit ask(bp_cli *cli, bp_lab *lab, const bp_arguments *arguments,
                   const bp_question *question, bp_answer **healthy, bp_answer **faulted) {
    bool beside = arguments->faults && !arguments->json && !arguments->csv;
    bp_question questions[2] = {*question, *question};
    bp_answer *answers[2] = {NULL, NULL};
    size_t n = 1;
    if (beside) {
        questions[n++].ranges = false; /* the good range is the healthy circuit's */
        questions[0].faults = NULL;
    }
    bp_progress progress = bp_progress_new(cli, "questions answered");
    bp_status status =
        bp_lab_ask_many(lab, questions, n, answers, bp_progress_step, &progress, cli->report);
    bp_progress_end(&progress);
    *healthy = beside || !arguments->faults ? answers[0] : NULL;
    *faulted = beside ? answers[1] : arguments->faults ? answers[0] : NULL;
    if (answers[0] && (n == 1 || answers[1]))
        return BP_EXIT_DONE;
    return status == BP_OK ? BP_EXIT_INPUT : bp_exit_of(status); /* a wrong question is bad input */
}

static bp_exit print_prediction(bp_cli *cli, const bp_arguments *arguments,
                                const bp_prediction *p) {
    const bp_answer *asked = p->faulted ? p->faulted : p->healthy;
    if (arguments->json)
        bp_predict_json(&cli->out, asked);
    else if (arguments->csv)
        bp_predict_csv(&cli->out, asked);
    else
        bp_predict_text(&cli->out, p);
    return is_unsolved(p->healthy) || is_unsolved(p->faulted) ? BP_EXIT_SOLVER : BP_EXIT_DONE;
}

static bp_exit predict(bp_cli *cli, const bp_arguments *arguments, const own_arguments *leads,
                       const bp_circuit *circuit) {
    size_t n_pairs;
    bp_pair *pairs = pairs_of(circuit, leads, &n_pairs);
    bp_question question = bp_question_of(arguments);
    question.instrument = leads->instrument;
    question.after = leads->after;
    question.n_after = leads->n_after;
    question.pairs = n_pairs ? pairs : NULL;
    question.n_pairs = n_pairs;
    question.at = leads->at;
    question.min_max = leads->min_max;
    question.peak = leads->peak;
    question.ranges = true;
    question.means = true;
    bp_answer *healthy = NULL, *faulted = NULL;
    bp_lab *lab = bp_lab_new(circuit, 0, cli->report);
    bp_exit end = lab ? ask(cli, lab, arguments, &question, &healthy, &faulted) : BP_EXIT_SOLVER;
    bp_print_report(cli);
    if (end == BP_EXIT_DONE) {
        const bp_prediction prediction = {circuit, &question, healthy, faulted,
                                          arguments->us_units};
        end = print_prediction(cli, arguments, &prediction);
    }
    bp_answer_free(&healthy);
    bp_answer_free(&faulted);
    bp_lab_free(&lab);
    free(pairs);
    return end;
}

static bp_exit check_leads(bp_cli *cli, const own_arguments *leads) {
    if (leads->at && leads->instrument != BP_AMPS && leads->instrument != BP_AMPS_CLAMP)
        return bp_wrong_usage(
            cli, "--at is for the ammeter and the clamp: add --instrument amps or amps-clamp");
    if ((leads->n_red || leads->black) && leads->instrument == BP_AMPS_CLAMP)
        return bp_wrong_usage(cli, "a clamp has no leads: --at says around which wire it is");
    return BP_EXIT_CARRY_ON;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    own_arguments leads = {.instrument = BP_VOLTS};
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &leads);
    bp_circuit *circuit = NULL;
    if (end == BP_EXIT_CARRY_ON)
        end = check_leads(cli, &leads);
    if (end == BP_EXIT_CARRY_ON)
        circuit = bp_load_circuit(cli, arguments.names[0], &end);
    if (circuit)
        end = bp_question_check(&arguments, circuit);
    if (circuit && end == BP_EXIT_CARRY_ON)
        end = predict(cli, &arguments, &leads, circuit);
    bp_circuit_free(&circuit);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_predict = {
    "predict", "predicts what the meter shows, healthy and with faults", run};
