/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From the command line to the subcommand, and the care for standard output at the end.
 */
#include <errno.h>
#include <locale.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "circuits/circuit.h"
#include "cli/columns.h"
#include "cli/messages.h"

static const bp_subcommand *const subcommands[] = {
#define X(name) &bp_subcommand_##name,
    BP_SUBCOMMAND_LIST(X)
#undef X
};
enum {
#define X(name) SUBCOMMAND_##name,
    BP_SUBCOMMAND_LIST(X)
#undef X
        N_SUBCOMMANDS
};

static void print_help(const bp_screen *to) {
    bp_screen_paragraph(to, BP_TONE_PLAIN, 0, 7,
                        "Usage: backprobe SUBCOMMAND [OPTION...] [CIRCUIT]");
    bp_screen_paragraph(
        to, BP_TONE_PLAIN, 0, 0,
        "What a meter shows at every test point of a 12 V vehicle circuit, healthy and faulted.");
    bp_screen_gap(to);
    bp_columns *table = bp_columns_new(to, 2);
    bp_columns_head(table, 1, "", BP_CELL_LEFT, true);
    for (size_t i = 0; i < N_SUBCOMMANDS; i++) {
        bp_columns_cell(table, BP_TONE_STRONG, "%s", subcommands[i]->name);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", subcommands[i]->words);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
    bp_screen_gap(to);
    bp_screen_paragraph(
        to, BP_TONE_PLAIN, 0, 0,
        "A CIRCUIT is an id that 'backprobe circuits' lists, or the path of a YAML file. "
        "'backprobe SUBCOMMAND --help' tells the rest; 'backprobe --version' the version.");
}

static const bp_subcommand *find(const char *name) {
    for (size_t i = 0; i < N_SUBCOMMANDS; i++)
        if (strcmp(subcommands[i]->name, name) == 0)
            return subcommands[i];
    return NULL;
}

static bp_exit no_such_subcommand(const bp_cli *cli, const char *word) {
    const char *names[N_SUBCOMMANDS];
    for (size_t i = 0; i < N_SUBCOMMANDS; i++)
        names[i] = subcommands[i]->name;
    const char *near = bp_near_miss(word, names, N_SUBCOMMANDS);
    const char *what = word[0] == '-' ? "option" : "subcommand";
    if (near)
        return bp_wrong_usage(cli, "there is no %s '%s'; did you mean '%s'?", what, word, near);
    return bp_wrong_usage(cli, "there is no %s '%s'", what, word);
}

static bp_exit dispatch(bp_cli *cli, int argc, char **argv) {
    if (argc < 2) {
        print_help(&cli->err);
        return BP_EXIT_INPUT;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-?") == 0) {
        print_help(&cli->out);
        return BP_EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        fprintf(cli->out.file, "backprobe %s\n", BP_VERSION);
        return BP_EXIT_DONE;
    }
    const bp_subcommand *subcommand = find(argv[1]);
    if (!subcommand)
        return no_such_subcommand(cli, argv[1]);
    cli->name = subcommand->name;
    return subcommand->run(cli, argc - 1, argv + 1);
}

/* Results that did not arrive are a failure, whichever subcommand wrote them. A reader that has had
 * enough (`| head`) needs no message. Registered with atexit, because --help of a subcommand ends
 * the program by itself. */
static void close_results(void) {
    bool failed = ferror(stdout) != 0;
    errno = 0;
    failed = fclose(stdout) != 0 || failed;
    if (!failed)
        return;
    if (errno != EPIPE)
        fprintf(stderr, "backprobe: the results cannot be written: %s\n",
                errno ? strerror(errno) : "an earlier write failed");
    _exit(BP_EXIT_INPUT);
}

int bp_cli_main(int argc, char **argv) {
    setlocale(LC_CTYPE,
              ""); /* characters as the user's terminal has them; numbers keep their point */
    signal(SIGPIPE, SIG_IGN);
    signal(SIGXFSZ, SIG_IGN); /* a file that may not grow is an error to tell, not an end */
    if (atexit(close_results) != 0)
        bp_must(NULL);
    bp_cli cli = {.out = bp_screen_of(stdout), .err = bp_screen_of(stderr)};
    cli.report = bp_must(bp_report_new());
    bp_exit end = dispatch(&cli, argc, argv);
    bp_report_free(&cli.report);
    return end;
}
