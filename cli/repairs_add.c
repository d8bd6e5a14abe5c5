/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe repairs add and strike: an entry goes into the book, or no longer counts.
 */
#include "cli/repairs.h"

#include <stdlib.h>
#include <string.h>

#include <backprobe/casefile.h>

#include "cli/messages.h"

enum {
    KEY_CASE = BP_KEY_REPAIRS_OWN,
    KEY_RED,
    KEY_BLACK,
    KEY_INSTRUMENT,
    KEY_BEFORE,
    KEY_AFTER,
    KEY_CAUSE,
    KEY_GONE,
    KEY_DATE,
    KEY_WHY
};

static const struct argp_option add_options[] = {
    {"fault", BP_KEY_FAULT, "FAULT", 0, "what was wrong, as 'backprobe faults' writes it", 0},
    {"case", KEY_CASE, "WORDS", 0, "which case: its file, a job number, the complaint", 0},
    {"state", BP_KEY_STATE, "STATE", 0, "the telling reading: in which state", 0},
    {"red", KEY_RED, "PLACE", 0, "where the red lead was", 0},
    {"black", KEY_BLACK, "PLACE", 0, "where the black lead was, when not on the reference", 0},
    {"instrument", KEY_INSTRUMENT, "NAME", 0, "what it was taken with; volts unless told", 0},
    {"before", KEY_BEFORE, "READING", 0, "what it showed before the repair, such as '7.9 V'", 0},
    {"after", KEY_AFTER, "READING", 0, "what it showed after the repair", 0},
    {"gone", KEY_GONE, 0, 0, "the complaint is gone", 0},
    {"cause", KEY_CAUSE, "WORDS", 0, "what caused it: why did it blow or corrode?", 0},
    {"date", KEY_DATE, "DAY", 0, "when, such as 2026-03-02; today unless told", 0},
    BP_OPTION_FILE,
    {0}};

static const struct argp_option strike_options[] = {
    {"why", KEY_WHY, "WORDS", 0, "why it no longer counts", 0}, BP_OPTION_FILE, {0}};

typedef struct entry {
    const char *file, *why;
    bp_repair repair;
} entry;

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    entry *e = own;
    (void)arguments;
    const char **const texts[] = {
        [BP_KEY_FILE - BP_KEY_OWN] = &e->file,
        [KEY_CASE - BP_KEY_OWN] = &e->repair.job,
        [KEY_RED - BP_KEY_OWN] = &e->repair.red,
        [KEY_BLACK - BP_KEY_OWN] = &e->repair.black,
        [KEY_INSTRUMENT - BP_KEY_OWN] = &e->repair.instrument,
        [KEY_BEFORE - BP_KEY_OWN] = &e->repair.before,
        [KEY_AFTER - BP_KEY_OWN] = &e->repair.after,
        [KEY_CAUSE - BP_KEY_OWN] = &e->repair.cause,
        [KEY_GONE - BP_KEY_OWN] = NULL,
        [KEY_DATE - BP_KEY_OWN] = &e->repair.date,
        [KEY_WHY - BP_KEY_OWN] = &e->why,
    };
    if (key == KEY_GONE)
        e->repair.gone = true;
    else
        *texts[key - BP_KEY_OWN] = value;
    return BP_EXIT_CARRY_ON;
}

static const bp_syntax add_syntax = {
    .options = add_options,
    .names = "CIRCUIT",
    .least = 1,
    .most = 1,
    .words =
        "Writes a proved repair into the book.\vA repair is proved when the reading that showed "
        "the fault has become a good one and the complaint is gone; and it will come back unless "
        "what caused it was found. So all of --fault, --case, --state, --red, --before, --after, "
        "--gone and --cause are needed.",
    .read_own = read_own,
};

static const bp_syntax strike_syntax = {
    .options = strike_options,
    .names = "NUMBER",
    .least = 1,
    .most = 1,
    .words = "Takes an entry out of the count, for instance when the complaint came back. It stays "
             "in the book, with the reason.",
    .read_own = read_own,
};

/* A case that is a file has to be about the same circuit. */
static bp_status check_case(bp_cli *cli, const bp_circuit *circuit, const char *job) {
    bp_casefile *file = NULL;
    if (!job || !bp_is_case(job))
        return BP_OK;
    bp_status status = bp_casefile_load(job, &file, cli->report);
    const char *about = file ? bp_circuit_id(bp_casefile_circuit(file)) : bp_circuit_id(circuit);
    if (strcmp(about, bp_circuit_id(circuit)) != 0) {
        bp_report_add(cli->report, BP_MISTAKE, job, 0, 0,
                      "this case is about the circuit %s, the repair about %s", about,
                      bp_circuit_id(circuit));
        status = BP_ERR_INPUT;
    }
    bp_casefile_free(&file);
    return status;
}

static bp_exit add(bp_cli *cli, const bp_arguments *arguments, entry *e) {
    bp_exit end;
    bp_circuit *circuit = bp_load_circuit(cli, arguments->names[0], &end);
    if (!circuit)
        return end;
    long long number = 0;
    bp_repairs *book = NULL;
    e->repair.fault = arguments->faults;
    e->repair.state = arguments->state;
    bp_status status = bp_repairs_check(circuit, &e->repair, cli->report);
    if (status == BP_OK)
        status = check_case(cli, circuit, e->repair.job);
    if (status == BP_OK)
        status = bp_repairs_open(e->file, true, &book, cli->report);
    if (status == BP_OK)
        status = bp_repairs_add(book, circuit, &e->repair, &number, cli->report);
    bp_repairs_close(&book);
    bp_circuit_free(&circuit);
    bp_print_report(cli);
    if (status == BP_OK)
        bp_screen_paragraph(&cli->out, BP_TONE_PLAIN, 0, 0, "Entry %lld is in the book.", number);
    return bp_exit_of(status);
}

static bp_exit strike(bp_cli *cli, const bp_arguments *arguments, const entry *e) {
    char *rest;
    const char *text = arguments->names[0];
    long long number = strtoll(text, &rest, 10);
    if (rest == text || *rest || number < 1)
        return bp_wrong_usage(cli, "'%s' is no number of an entry", text);
    if (!e->why)
        return bp_wrong_usage(cli, "why does it no longer count? Give --why WORDS");
    bp_repairs *book = NULL;
    bp_status status = bp_repairs_open(e->file, false, &book, cli->report);
    if (status == BP_OK)
        status = bp_repairs_strike(book, number, e->why, cli->report);
    bp_repairs_close(&book);
    bp_print_report(cli);
    if (status == BP_OK)
        bp_screen_paragraph(&cli->out, BP_TONE_PLAIN, 0, 0, "Entry %lld no longer counts.", number);
    return bp_exit_of(status);
}

bp_exit bp_repairs_run_add(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    entry e = {0};
    bp_exit end = bp_arguments_read(&arguments, cli, &add_syntax, argc, argv, &e);
    if (end == BP_EXIT_CARRY_ON)
        end = add(cli, &arguments, &e);
    bp_arguments_free(&arguments);
    return end;
}

bp_exit bp_repairs_run_strike(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    entry e = {0};
    bp_exit end = bp_arguments_read(&arguments, cli, &strike_syntax, argc, argv, &e);
    if (end == BP_EXIT_CARRY_ON)
        end = strike(cli, &arguments, &e);
    bp_arguments_free(&arguments);
    return end;
}
