/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdarg.h>
#include <stdlib.h>
#include <unistd.h>

#include <backprobe/casefile.h>
#include <backprobe/load.h>

#include "circuits/yaml_walk.h"

#include "cli/messages.h"

static void say(const bp_cli *cli, const char *format, va_list arguments) {
    char *text = NULL;
    if (vasprintf(&text, format, arguments) < 0)
        text = NULL;
    char *safe = bp_screen_clean(&cli->err, bp_must(text));
    fprintf(cli->err.file, "backprobe%s%s: %s\n", cli->name ? " " : "", cli->name ? cli->name : "",
            safe);
    free(safe);
    free(text);
}

void bp_say(const bp_cli *cli, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    say(cli, format, arguments);
    va_end(arguments);
}

bp_exit bp_wrong_usage(const bp_cli *cli, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    say(cli, format, arguments);
    va_end(arguments);
    fprintf(cli->err.file, "See 'backprobe%s%s --help'.\n", cli->name ? " " : "",
            cli->name ? cli->name : "");
    return BP_EXIT_INPUT;
}

void bp_print_message(const bp_screen *screen, const bp_message *message) {
    static const char *const sort[] = {
        [BP_NOTE] = "note: ", [BP_WARNING] = "warning: ", [BP_MISTAKE] = "mistake: "};
    char *text = bp_screen_clean(screen, message->text);
    char *file = bp_screen_clean(screen, message->file ? message->file : "");
    if (message->file && message->line)
        fprintf(screen->file, "%s:%zu:%zu: %s%s\n", file, message->line, message->column,
                sort[message->severity], text);
    else if (message->file)
        fprintf(screen->file, "%s: %s%s\n", file, sort[message->severity], text);
    else
        fprintf(screen->file, "backprobe: %s%s\n",
                message->severity == BP_MISTAKE ? "" : sort[message->severity], text);
    free(file);
    free(text);
}

void bp_print_report(bp_cli *cli) {
    for (size_t i = 0; i < bp_report_count(cli->report); i++)
        bp_print_message(&cli->err, bp_report_at(cli->report, i));
    bp_report_free(&cli->report);
    cli->report = bp_must(bp_report_new());
}

bp_exit bp_exit_of(bp_status status) {
    switch (status) {
    case BP_OK:
        return BP_EXIT_DONE;
    case BP_ERR_MEMORY:
    case BP_ERR_SOLVER:
        return BP_EXIT_SOLVER;
    case BP_ERR_INPUT:
    case BP_ERR_USAGE:
    case BP_ERR_FILE:
        break;
    }
    return BP_EXIT_INPUT;
}

bool bp_is_case(const char *name) {
    char *text = NULL;
    size_t size = 0;
    const bool found = access(name, F_OK) == 0 && bp_yaml_read(name, &text, &size, NULL) == BP_OK &&
                       bp_casefile_is(text, size);
    free(text);
    return found;
}

bp_circuit *bp_load_circuit(bp_cli *cli, const char *circuit, bp_exit *end) {
    bp_circuit *loaded = NULL;
    *end = bp_exit_of(bp_load(circuit, &loaded, cli->report));
    bp_print_report(cli);
    return loaded;
}
