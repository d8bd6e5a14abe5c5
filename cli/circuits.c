/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe circuits: what there is to ask about.
 */
#include <stdlib.h>

#include <backprobe/load.h>

#include "cli/arguments.h"
#include "cli/columns.h"
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/messages.h"

static const struct argp_option options[] = {BP_OPTION_JSON, BP_OPTION_CSV, {0}};

static const bp_syntax syntax = {
    .options = options,
    .names = "",
    .words = "Lists the circuits of the library and your own.\vYour own circuits lie in the folder "
             "backprobe/circuits of the XDG data folder, ~/.local/share/backprobe/circuits unless "
             "XDG_DATA_HOME says "
             "otherwise. BACKPROBE_LIBRARY names another library folder.",
};

static const char *from(const bp_listing *row) { return row->own ? "own" : "library"; }

static void print_json(const bp_screen *out, const bp_listing *list, size_t n) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < n; i++) {
        json_t *row = bp_json_object();
        bp_json_set(row, "circuit", bp_json_text(list[i].id));
        bp_json_set(row, "title", bp_json_text(list[i].title));
        bp_json_set(row, "from", bp_json_text(from(&list[i])));
        bp_json_set(row, "path", bp_json_text(list[i].path));
        bp_json_append(array, row);
    }
    bp_json_print(out, array);
}

static void print_csv(const bp_screen *out, const bp_listing *list, size_t n) {
    static const char *const titles[] = {"circuit", "title", "from", "path"};
    bp_csv_head(out, titles, 4);
    for (size_t i = 0; i < n; i++) {
        bp_csv_text(out, list[i].id, ',');
        bp_csv_text(out, list[i].title, ',');
        bp_csv_text(out, from(&list[i]), ',');
        bp_csv_text(out, list[i].path, '\n');
    }
}

static void print_table(const bp_screen *out, const bp_listing *list, size_t n) {
    bp_columns *table = bp_columns_new(out, 3);
    bp_columns_head(table, 0, "circuit", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "title", BP_CELL_LEFT, true);
    bp_columns_head(table, 2, "from", BP_CELL_LEFT, false);
    for (size_t i = 0; i < n; i++) {
        bp_columns_cell(table, BP_TONE_STRONG, "%s", list[i].id);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", list[i].title);
        bp_columns_cell(table, BP_TONE_FAINT, "%s", from(&list[i]));
    }
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void explain_none(bp_cli *cli) {
    char *library = bp_library_folder(), *own = bp_user_folder();
    bp_say(cli,
           "there are no circuits: the library folder is %s, your own is %s; 'backprobe doctor' "
           "tells more",
           library ? library : "not found", own ? own : "not known");
    free(library);
    free(own);
}

static bp_exit list_circuits(bp_cli *cli, const bp_arguments *arguments) {
    bp_listing *list = NULL;
    size_t n = 0;
    bp_status status = bp_list_circuits(&list, &n, cli->report);
    bp_print_report(cli);
    if (status != BP_OK)
        return bp_exit_of(status);
    if (arguments->json)
        print_json(&cli->out, list, n);
    else if (arguments->csv)
        print_csv(&cli->out, list, n);
    else
        print_table(&cli->out, list, n);
    if (n == 0)
        explain_none(cli);
    bp_listing_free(&list, n);
    return n > 0 ? BP_EXIT_DONE : BP_EXIT_NO;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, NULL);
    if (end == BP_EXIT_CARRY_ON)
        end = list_circuits(cli, &arguments);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_circuits = {
    "circuits", "lists the circuits of the library and your own", run};
