/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe repairs list and export: what stands in the book, and whether it counts.
 */
#include "cli/repairs.h"

#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "circuits/fault.h"
#include "circuits/text.h"
#include "cli/columns.h"
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/messages.h"

static const struct argp_option list_options[] = {
    BP_OPTION_FILE, BP_OPTION_JSON, BP_OPTION_CSV, {0}};
static const struct argp_option export_options[] = {BP_OPTION_FILE, {0}};

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    (void)arguments, (void)key;
    *(const char **)own = value;
    return BP_EXIT_CARRY_ON;
}

static const bp_syntax list_syntax = {
    .options = list_options,
    .names = "[CIRCUIT]",
    .most = 1,
    .words = "Shows the book of repairs, all of it or what is about one circuit.\vEntries about "
             "circuits or faults that are no more stay in the book, and say so.",
    .read_own = read_own,
};
static const bp_syntax export_syntax = {
    .options = export_options,
    .names = "[CIRCUIT]",
    .most = 1,
    .words = "Prints the book of repairs, all of it or what is about one circuit, as "
             "comma-separated values.",
    .read_own = read_own,
};

/* A circuit that entries name; NULL when it cannot be loaded by its id. */
typedef struct known {
    char *id;
    bp_circuit *circuit;
} known;

typedef struct lister {
    const bp_screen *out;
    known *known;
    size_t n_known, n;
    json_t *array;     /* one of the three */
    bp_columns *table; /* ... */
    bool csv;
} lister;

/* An id only: a book may come from strangers, and names no files of ours. */
static const bp_circuit *circuit_of(lister *l, const char *id) {
    for (size_t i = 0; i < l->n_known; i++)
        if (strcmp(l->known[i].id, id) == 0)
            return l->known[i].circuit;
    l->known = bp_must(realloc(l->known, (l->n_known + 1) * sizeof *l->known));
    known *k = &l->known[l->n_known++];
    *k = (known){.id = bp_must(strdup(id))};
    bp_report *report = bp_must(bp_report_new());
    if (bp_text_is_id(id, true))
        (void)bp_load(id, &k->circuit, report);
    bp_report_free(&report);
    return k->circuit;
}

typedef enum standing { COUNTS, STRUCK, NO_CIRCUIT, NO_FAULT } standing;

static standing standing_of(lister *l, const bp_repair *r) {
    bp_fault_case faults;
    char why[400];
    if (r->struck)
        return STRUCK;
    const bp_circuit *circuit = circuit_of(l, r->circuit);
    if (!circuit)
        return NO_CIRCUIT;
    return bp_fault_parse(circuit, r->fault, &faults, why, sizeof why) == BP_OK ? COUNTS : NO_FAULT;
}

static const char *const standings[] = {"counts", "struck", "no-circuit", "no-fault"};

static void take_json(lister *l, const bp_repair *r) {
    json_t *object = bp_json_object();
    bp_json_set(object, "number", json_integer(r->number));
    bp_json_set(object, "date", bp_json_text(r->date));
    bp_json_set(object, "circuit", bp_json_text(r->circuit));
    bp_json_set(object, "fault", bp_json_text(r->fault));
    bp_json_set(object, "case", bp_json_text(r->job));
    bp_json_set(object, "state", bp_json_text(r->state));
    bp_json_set(object, "red", bp_json_text(r->red));
    bp_json_set(object, "black", bp_json_text(r->black));
    bp_json_set(object, "instrument", bp_json_text(r->instrument));
    bp_json_set(object, "before", bp_json_text(r->before));
    bp_json_set(object, "after", bp_json_text(r->after));
    bp_json_set(object, "gone", json_boolean(r->gone));
    bp_json_set(object, "cause", bp_json_text(r->cause));
    bp_json_set(object, "struck", bp_json_text(r->struck));
    bp_json_set(object, "standing", bp_json_text(standings[standing_of(l, r)]));
    bp_json_append(l->array, object);
}

static void csv_head(const bp_screen *out) {
    static const char *const titles[] = {"number", "date", "circuit", "fault",      "case",
                                         "state",  "red",  "black",   "instrument", "before",
                                         "after",  "gone", "cause",   "struck",     "standing"};
    bp_csv_head(out, titles, sizeof titles / sizeof *titles);
}

static void take_csv(lister *l, const bp_repair *r) {
    const char *const texts[] = {r->date,
                                 r->circuit,
                                 r->fault,
                                 r->job,
                                 r->state,
                                 r->red,
                                 r->black,
                                 r->instrument,
                                 r->before,
                                 r->after,
                                 r->gone ? "yes" : "no",
                                 r->cause,
                                 r->struck};
    bp_csv_number(l->out, (double)r->number, ',');
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        bp_csv_text(l->out, texts[i], ',');
    bp_csv_text(l->out, standings[standing_of(l, r)], '\n');
}

static void take_row(lister *l, const bp_repair *r) {
    static const char *const words[] = {"", " (struck out: ", " (not in the library of circuits",
                                        " (the circuit has no such fault"};
    const standing s = standing_of(l, r);
    const bool volts = strcmp(r->instrument, "volts") == 0;
    bp_columns_cell(l->table, BP_TONE_PLAIN, "%lld", r->number);
    bp_columns_cell(l->table, s == COUNTS ? BP_TONE_STRONG : BP_TONE_PLAIN, "%s %s%s%s%s",
                    r->circuit, r->fault, words[s], r->struck ? r->struck : "",
                    s == COUNTS ? "" : ")");
    bp_columns_cell(l->table, BP_TONE_PLAIN, "%s%s%s, %s%s%s: %s before, %s after",
                    volts ? "" : r->instrument, volts ? "" : ", ", r->state, r->red,
                    r->black ? " to " : "", r->black ? r->black : "", r->before, r->after);
    bp_columns_cell(l->table, BP_TONE_PLAIN, "%s (%s, %s)", r->cause, r->job, r->date);
}

static void take(void *data, const bp_repair *repair) {
    lister *l = data;
    l->n++;
    if (l->array)
        take_json(l, repair);
    else if (l->csv)
        take_csv(l, repair);
    else
        take_row(l, repair);
}

static bp_columns *head(const bp_screen *out) {
    bp_columns *table = bp_columns_new(out, 4);
    bp_columns_head(table, 0, "no.", BP_CELL_RIGHT, false);
    bp_columns_head(table, 1, "repair", BP_CELL_LEFT, true);
    bp_columns_head(table, 2, "reading that proved it", BP_CELL_LEFT, true);
    bp_columns_head(table, 3, "what caused it (case, day)", BP_CELL_LEFT, true);
    return table;
}

static void print(bp_cli *cli, lister *l) {
    if (l->array)
        bp_json_print(&cli->out, l->array);
    else if (l->table && l->n == 0)
        bp_say(cli, "there are no repairs in the book; 'backprobe repairs add --help' tells how to "
                    "write one into it");
    else if (l->table)
        bp_columns_print(l->table);
    if (l->table)
        bp_columns_free(&l->table);
}

static bp_exit show(bp_cli *cli, const bp_arguments *arguments, const char *file, bool csv) {
    const char *circuit = arguments->n_names ? arguments->names[0] : NULL;
    bp_repairs *book;
    bp_status status = bp_repairs_open(file, false, &book, cli->report);
    if (status == BP_OK) {
        lister l = {.out = &cli->out, .csv = csv};
        if (csv)
            csv_head(&cli->out);
        else if (arguments->json)
            l.array = bp_json_array();
        else
            l.table = head(&cli->out);
        status = bp_repairs_each(book, circuit, take, &l, cli->report);
        print(cli, &l);
        for (size_t i = 0; i < l.n_known; i++) {
            free(l.known[i].id);
            bp_circuit_free(&l.known[i].circuit);
        }
        free(l.known);
    }
    bp_repairs_close(&book);
    bp_print_report(cli);
    return bp_exit_of(status);
}

static bp_exit run(bp_cli *cli, int argc, char **argv, const bp_syntax *syntax, bool csv) {
    bp_arguments arguments;
    const char *file = NULL;
    bp_exit end = bp_arguments_read(&arguments, cli, syntax, argc, argv, &file);
    if (end == BP_EXIT_CARRY_ON)
        end = show(cli, &arguments, file, csv || arguments.csv);
    bp_arguments_free(&arguments);
    return end;
}

bp_exit bp_repairs_run_list(bp_cli *cli, int argc, char **argv) {
    return run(cli, argc, argv, &list_syntax, false);
}

bp_exit bp_repairs_run_export(bp_cli *cli, int argc, char **argv) {
    return run(cli, argc, argv, &export_syntax, true);
}
