/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe faults: everything that can go wrong in a circuit.
 */
#include <stdlib.h>
#include <string.h>

#include "circuits/fault.h"
#include "cli/arguments.h"
#include "cli/columns.h"
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/messages.h"

static const struct argp_option options[] = {BP_OPTION_JSON, BP_OPTION_CSV, {0}};

static const bp_syntax syntax = {
    .options = options,
    .names = "CIRCUIT",
    .least = 1,
    .most = 1,
    .words = "Lists every fault of a circuit with its words, how bad it can be and how often it is "
             "met.\vThe first "
             "column is what --fault of 'backprobe predict' takes; '=1.5ohm' after it says how bad "
             "it is, else the "
             "typical value is used. The weight is relative: 1 is an ordinary fault, 2 is met "
             "twice as often.",
};

/* One row as people and programs see it. */
typedef struct fault_line {
    char fault[160]; /* without how bad it is */
    char words[320];
    const bp_fault_row *row;
    const bp_mode_decl *mode;
    const bp_part *part;
} fault_line;

static fault_line line_of(const bp_circuit *circuit, const bp_fault_row *row) {
    fault_line line = {.row = row,
                       .mode = bp_fault_mode(circuit, &row->fault),
                       .part = &circuit->parts[row->fault.part]};
    bp_fault_case alone = {.fault = {row->fault}, .n = 1};
    alone.fault[0].severity = NAN;
    bp_fault_write(circuit, &alone, line.fault, sizeof line.fault);
    bp_fault_words(circuit, &alone, line.words, sizeof line.words);
    return line;
}

static bool has_range(const fault_line *l) { return l->mode->scale != BP_SCALE_NONE; }

static void print_json(const bp_screen *out, const bp_circuit *circuit, const bp_fault_row *rows,
                       size_t n) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < n; i++) {
        fault_line l = line_of(circuit, &rows[i]);
        json_t *object = bp_json_object(), *range = json_null();
        if (has_range(&l)) {
            range = bp_json_object();
            bp_json_set(range, "unit", bp_json_unit(l.mode->unit));
            bp_json_set(range, "low", bp_json_number(l.mode->lo));
            bp_json_set(range, "high", bp_json_number(l.mode->hi));
            bp_json_set(range, "typical", bp_json_number(rows[i].fault.severity));
        }
        bp_json_set(object, "fault", bp_json_text(l.fault));
        bp_json_set(object, "words", bp_json_text(l.words));
        bp_json_set(object, "part", bp_json_text(l.part->id));
        bp_json_set(object, "mode", bp_json_text(l.mode->id));
        bp_json_set(object, "severity", range);
        bp_json_set(object, "weight", bp_json_number(rows[i].weight));
        bp_json_set(object, "by_eye", json_boolean(l.mode->seen_by_eye));
        bp_json_set(object, "note", bp_json_text(rows[i].note));
        bp_json_append(array, object);
    }
    bp_json_print(out, array);
}

static void print_csv(const bp_screen *out, const bp_circuit *circuit, const bp_fault_row *rows,
                      size_t n) {
    static const char *const titles[] = {"fault",   "words",  "unit",   "low", "high",
                                         "typical", "weight", "by_eye", "note"};
    bp_csv_head(out, titles, sizeof titles / sizeof *titles);
    for (size_t i = 0; i < n; i++) {
        fault_line l = line_of(circuit, &rows[i]);
        bp_csv_text(out, l.fault, ',');
        bp_csv_text(out, l.words, ',');
        bp_csv_text(out, has_range(&l) ? bp_unit_plain(l.mode->unit) : "", ',');
        bp_csv_number(out, has_range(&l) ? l.mode->lo : NAN, ',');
        bp_csv_number(out, has_range(&l) ? l.mode->hi : NAN, ',');
        bp_csv_number(out, has_range(&l) ? rows[i].fault.severity : NAN, ',');
        bp_csv_number(out, rows[i].weight, ',');
        bp_csv_text(out, l.mode->seen_by_eye ? "yes" : "no", ',');
        bp_csv_text(out, rows[i].note, '\n');
    }
}

static void words_cell(bp_columns *table, const fault_line *l) {
    char low[48], high[48], typical[48], *range = NULL;
    if (has_range(l)) {
        bp_quantity_format(l->mode->lo, l->mode->unit, 3, low, sizeof low);
        bp_quantity_format(l->mode->hi, l->mode->unit, 3, high, sizeof high);
        bp_quantity_format(l->row->fault.severity, l->mode->unit, 3, typical, sizeof typical);
        range = bp_format("; %s to %s, typically %s", low, high, typical);
    }
    bp_columns_cell(table, BP_TONE_PLAIN, "%s%s%s%s%s", l->words, l->row->note ? " (" : "",
                    l->row->note ? l->row->note : "", l->row->note ? ")" : "", range ? range : "");
    free(range);
}

static void print_table(const bp_screen *out, const bp_circuit *circuit, const bp_fault_row *rows,
                        size_t n) {
    bp_columns *table = bp_columns_new(out, 3);
    bp_columns_head(table, 0, "fault", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "what it is; how bad it can be", BP_CELL_LEFT, true);
    bp_columns_head(table, 2, "weight", BP_CELL_RIGHT, false);
    for (size_t i = 0; i < n; i++) {
        fault_line l = line_of(circuit, &rows[i]);
        bp_columns_cell(table, BP_TONE_STRONG, "%s", l.fault);
        words_cell(table, &l);
        bp_columns_cell(table, BP_TONE_PLAIN, "%.3g", rows[i].weight);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
    bp_screen_gap(out);
    bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                        "%zu faults. Weight: how often it is met, 1 is ordinary.", n);
}

static bp_exit list_faults(bp_cli *cli, const bp_arguments *arguments) {
    bp_exit end;
    bp_circuit *circuit = bp_load_circuit(cli, arguments->names[0], &end);
    if (!circuit)
        return end;
    bp_fault_row *rows = NULL;
    size_t n = 0;
    bp_status status = bp_fault_list(circuit, &rows, &n);
    if (status != BP_OK)
        bp_say(cli, "%s", bp_status_text(status));
    else if (arguments->json)
        print_json(&cli->out, circuit, rows, n);
    else if (arguments->csv)
        print_csv(&cli->out, circuit, rows, n);
    else
        print_table(&cli->out, circuit, rows, n);
    free(rows);
    bp_circuit_free(&circuit);
    return bp_exit_of(status);
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, NULL);
    if (end == BP_EXIT_CARRY_ON)
        end = list_faults(cli, &arguments);
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_faults = {"faults", "lists every fault of a circuit", run};
