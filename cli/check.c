/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe check: every mistake in circuit and case files, in one pass.
 */
#include <stdint.h>
#include <stdlib.h>
#include <unistd.h>

#include <backprobe/casefile.h>
#include <backprobe/load.h>

#include "cli/arguments.h"
#include "cli/json.h"
#include "cli/messages.h"

static const struct argp_option options[] = {BP_OPTION_JSON, {0}};

static const bp_syntax syntax = {
    .options = options,
    .names = "FILE...",
    .least = 1,
    .most = SIZE_MAX,
    .words =
        "Reports every mistake in circuit and case files, with line and column, what was found and "
        "what was "
        "expected.\vA FILE may also be the id of a circuit. The exit status is 1 when there are "
        "mistakes, 2 when a "
        "file cannot be read.",
};

typedef struct findings {
    size_t files, mistakes, warnings;
    bp_exit end; /* the worst so far */
} findings;

/* A file that is there is meant as a file, also when its name looks like an id. What is good is
 * handed back as the circuit that it is, or is about. */
static bp_status load(const char *name, bp_circuit **circuit, bp_casefile **file,
                      bp_report *report) {
    if (bp_is_case(name))
        return bp_casefile_load(name, file, report);
    return access(name, F_OK) == 0 ? bp_load_file(name, circuit, report)
                                   : bp_load(name, circuit, report);
}

static json_t *message_json(const bp_message *message) {
    static const char *const sort[] = {
        [BP_NOTE] = "note", [BP_WARNING] = "warning", [BP_MISTAKE] = "mistake"};
    json_t *object = bp_json_object();
    bp_json_set(object, "sort", bp_json_text(sort[message->severity]));
    bp_json_set(object, "file", bp_json_text(message->file));
    bp_json_set(object, "line",
                message->line ? json_integer((json_int_t)message->line) : json_null());
    bp_json_set(object, "column",
                message->column ? json_integer((json_int_t)message->column) : json_null());
    bp_json_set(object, "text", bp_json_text(message->text));
    return object;
}

static json_t *file_json(const char *name, const bp_circuit *circuit, const bp_report *report) {
    json_t *object = bp_json_object(), *messages = bp_json_array();
    for (size_t i = 0; i < bp_report_count(report); i++)
        bp_json_append(messages, message_json(bp_report_at(report, i)));
    bp_json_set(object, "file", bp_json_text(name));
    bp_json_set(object, "circuit", bp_json_text(circuit ? bp_circuit_id(circuit) : NULL));
    bp_json_set(object, "good", json_boolean(circuit != NULL));
    bp_json_set(object, "messages", messages);
    return object;
}

/* Mistakes are what was asked for, so they go to stdout; a file that cannot be read is a failure
 * and goes to stderr. */
static void print_findings(const bp_cli *cli, bp_status status, const char *name,
                           const bp_report *report) {
    const bp_screen *to = status == BP_OK || status == BP_ERR_INPUT ? &cli->out : &cli->err;
    for (size_t i = 0; i < bp_report_count(report); i++)
        bp_print_message(to, bp_report_at(report, i));
    if (status == BP_OK)
        bp_screen_paragraph(to, BP_TONE_PLAIN, 0, 4, "%s: no mistakes", name);
}

static void check_file(bp_cli *cli, const char *name, json_t *array, findings *so_far) {
    bp_circuit *circuit = NULL;
    bp_casefile *file = NULL;
    bp_report *report = bp_must(bp_report_new());
    bp_status status = load(name, &circuit, &file, report);
    if (array)
        bp_json_append(array, file_json(name, file ? bp_casefile_circuit(file) : circuit, report));
    else
        print_findings(cli, status, name, report);
    bp_exit end = status == BP_ERR_INPUT ? BP_EXIT_NO : bp_exit_of(status);
    if (end > so_far->end)
        so_far->end = end;
    if (end < BP_EXIT_INPUT) { /* it could be read */
        so_far->files++;
        so_far->mistakes += bp_report_count_of(report, BP_MISTAKE);
        so_far->warnings += bp_report_count_of(report, BP_WARNING);
    }
    bp_report_free(&report);
    bp_circuit_free(&circuit);
    bp_casefile_free(&file);
}

static const char *plural(size_t n) { return n == 1 ? "" : "s"; }

static void print_sum(const bp_cli *cli, const findings *found) {
    bp_screen_paragraph(&cli->out, BP_TONE_STRONG, 0, 0,
                        "%zu mistake%s and %zu warning%s in %zu file%s", found->mistakes,
                        plural(found->mistakes), found->warnings, plural(found->warnings),
                        found->files, plural(found->files));
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, NULL);
    if (end == BP_EXIT_CARRY_ON) {
        findings found = {.end = BP_EXIT_DONE};
        json_t *array = arguments.json ? bp_json_array() : NULL;
        for (size_t i = 0; i < arguments.n_names; i++)
            check_file(cli, arguments.names[i], array, &found);
        if (array)
            bp_json_print(&cli->out, array);
        else if (found.mistakes + found.warnings > 0)
            print_sum(cli, &found);
        end = found.end;
    }
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_check = {"check",
                                           "reports every mistake in circuit and case files", run};
