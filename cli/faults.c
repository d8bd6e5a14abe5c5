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
#include "cli/progress.h"

#include <backprobe/seen.h>

enum { KEY_SEEN = BP_KEY_OWN, KEY_QUICK };

/* What only faults is asked. */
typedef struct own_arguments {
    bool seen, quick;
} own_arguments;

static const struct argp_option options[] = {
    {"seen", KEY_SEEN, NULL, 0,
     "work out which instruments and senses tell each fault from the good circuit, at its typical "
     "degree; takes a while; --json does so by itself",
     0},
    {"quick", KEY_QUICK, NULL, 0, "with --json: leave that out", 0},
    BP_OPTION_UNITS,
    BP_OPTION_JSON,
    BP_OPTION_CSV,
    {0}};

static bp_exit read_own(const bp_arguments *arguments, int key, const char *value, void *own) {
    own_arguments *wanted = own;
    (void)arguments, (void)value;
    *(key == KEY_SEEN ? &wanted->seen : &wanted->quick) = true;
    return BP_EXIT_CARRY_ON;
}

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
             "twice as often. With --seen nothing is declared: each instrument is put to the test "
             "points, the fuses, the wires and the terminals of the part itself, in every state.",
    .read_own = read_own,
};

/* What is listed. */
typedef struct listing {
    const bp_circuit *circuit;
    const bp_fault_row *rows;
    size_t n;
    const bp_seen *seen; /* by row; NULL: not asked for */
    bool us_units;
} listing;

/* One row as people and programs see it. */
typedef struct fault_line {
    char fault[160]; /* without how bad it is */
    char words[320];
    const bp_fault_row *row;
    const bp_mode_decl *mode;
    const bp_part *part;
} fault_line;

static fault_line line_of(const listing *all, const bp_fault_row *row) {
    const bp_circuit *circuit = all->circuit;
    fault_line line = {.row = row,
                       .mode = bp_fault_mode(circuit, &row->fault),
                       .part = &circuit->parts[row->fault.part]};
    bp_fault_case alone = {.fault = {row->fault}, .n = 1};
    alone.fault[0].severity = NAN;
    bp_fault_write(circuit, &alone, line.fault, sizeof line.fault);
    bp_fault_words_in(all->us_units, circuit, &alone, line.words, sizeof line.words);
    return line;
}

static bool has_range(const fault_line *l) { return l->mode->scale != BP_SCALE_NONE; }

/* Calls `take` with the name of each instrument and sense that tells the fault. */
static void each_that_sees(const bp_seen *seen, void (*take)(void *data, const char *name),
                           void *data) {
    for (int i = 0; i < BP_N_INSTRUMENTS; i++)
        if (seen->instruments & 1u << i)
            take(data, bp_instrument_name((bp_instrument)i));
    if (seen->scope)
        take(data, "scope");
#define X(code, bit, name)                                                                         \
    if (seen->senses & code)                                                                       \
        take(data, name);
    BP_SENSE_LIST(X)
#undef X
}

static void append_name(void *data, const char *name) { bp_json_append(data, bp_json_text(name)); }

static json_t *seen_json(const listing *all, size_t i) {
    json_t *names = all->seen ? bp_json_array() : json_null();
    if (all->seen)
        each_that_sees(&all->seen[i], append_name, names);
    return names;
}

static void write_name(void *data, const char *name) {
    FILE *f = data;
    fprintf(f, "%s%s", ftell(f) > 0 ? " " : "", name);
}

/* Names with blanks between them; owned by the caller. */
static char *seen_text(const listing *all, size_t i) {
    char *names = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&names, &size));
    if (all->seen)
        each_that_sees(&all->seen[i], write_name, f);
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(names);
}

static void print_json(const bp_screen *out, const listing *all) {
    const bp_fault_row *rows = all->rows;
    json_t *array = bp_json_array();
    for (size_t i = 0; i < all->n; i++) {
        fault_line l = line_of(all, &rows[i]);
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
        bp_json_set(object, "seen", seen_json(all, i));
        bp_json_append(array, object);
    }
    bp_json_print(out, array);
}

static void print_csv(const bp_screen *out, const listing *all) {
    static const char *const titles[] = {"fault",   "words",  "unit",   "low",  "high",
                                         "typical", "weight", "by_eye", "note", "seen"};
    bp_csv_head(out, titles, sizeof titles / sizeof *titles);
    for (size_t i = 0; i < all->n; i++) {
        fault_line l = line_of(all, &all->rows[i]);
        bp_csv_text(out, l.fault, ',');
        bp_csv_text(out, l.words, ',');
        bp_csv_text(out, has_range(&l) ? bp_unit_plain(l.mode->unit) : "", ',');
        bp_csv_number(out, has_range(&l) ? l.mode->lo : NAN, ',');
        bp_csv_number(out, has_range(&l) ? l.mode->hi : NAN, ',');
        bp_csv_number(out, has_range(&l) ? all->rows[i].fault.severity : NAN, ',');
        bp_csv_number(out, all->rows[i].weight, ',');
        bp_csv_text(out, l.mode->seen_by_eye ? "yes" : "no", ',');
        bp_csv_text(out, all->rows[i].note, ',');
        char *seen = seen_text(all, i);
        bp_csv_text(out, seen, '\n');
        free(seen);
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

static void print_table(const bp_screen *out, const listing *all) {
    bp_columns *table = bp_columns_new(out, all->seen ? 4 : 3);
    bp_columns_head(table, 0, "fault", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "what it is; how bad it can be", BP_CELL_LEFT, true);
    bp_columns_head(table, 2, "weight", BP_CELL_RIGHT, false);
    if (all->seen)
        bp_columns_head(table, 3, "told by", BP_CELL_LEFT, true);
    for (size_t i = 0; i < all->n; i++) {
        fault_line l = line_of(all, &all->rows[i]);
        bp_columns_cell(table, BP_TONE_STRONG, "%s", l.fault);
        words_cell(table, &l);
        bp_columns_cell(table, BP_TONE_PLAIN, "%.3g", all->rows[i].weight);
        if (all->seen) {
            char *seen = seen_text(all, i);
            const char *why = l.mode->unseen;
            bp_columns_cell(table, BP_TONE_PLAIN, "%s%s%s", seen[0] ? seen : "nothing",
                            why && !seen[0] ? ": " : "", why && !seen[0] ? why : "");
            free(seen);
        }
    }
    bp_columns_print(table);
    bp_columns_free(&table);
    bp_screen_gap(out);
    bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                        "%zu faults. Weight: how often it is met, 1 is ordinary.%s", all->n,
                        all->seen ? " Told by: what leaves its good range, or is heard, felt warm "
                                    "or seen otherwise, at the typical degree."
                                  : "");
}

/* Owned by the caller; NULL: it could not be worked out, and the report says why. */
static bp_seen *compute_seen(bp_cli *cli, const listing *all) {
    bp_seen *seen = bp_must(calloc(all->n + 1, sizeof *seen));
    char **faults = bp_must(calloc(all->n + 1, sizeof *faults));
    for (size_t i = 0; i < all->n; i++) {
        fault_line l = line_of(all, &all->rows[i]);
        faults[i] = bp_format("%s", l.fault);
    }
    bp_lab *lab = bp_lab_new(all->circuit, 0, cli->report);
    bp_progress progress = bp_progress_new(cli, "questions answered");
    bp_status status = BP_ERR_SOLVER;
    if (lab)
        status = bp_seen_compute(lab, (const char *const *)faults, all->n, seen, bp_progress_step,
                                 &progress, cli->report);
    bp_progress_end(&progress);
    bp_lab_free(&lab);
    for (size_t i = 0; i < all->n; i++)
        free(faults[i]);
    free(faults);
    if (status != BP_OK) {
        free(seen);
        return NULL;
    }
    return seen;
}

static bp_exit print_list(bp_cli *cli, const bp_arguments *arguments, listing *all,
                          bool with_seen) {
    bp_seen *seen = with_seen ? compute_seen(cli, all) : NULL;
    bp_print_report(cli);
    if (with_seen && !seen)
        return BP_EXIT_SOLVER;
    all->seen = seen;
    if (arguments->json)
        print_json(&cli->out, all);
    else if (arguments->csv)
        print_csv(&cli->out, all);
    else
        print_table(&cli->out, all);
    free(seen);
    return BP_EXIT_DONE;
}

static bp_exit list_faults(bp_cli *cli, const bp_arguments *arguments, bool with_seen) {
    bp_exit end;
    bp_circuit *circuit = bp_load_circuit(cli, arguments->names[0], &end);
    if (!circuit)
        return end;
    bp_fault_row *rows = NULL;
    size_t n = 0;
    bp_status status = bp_fault_list(circuit, &rows, &n);
    listing all = {.circuit = circuit, .rows = rows, .n = n, .us_units = arguments->us_units};
    if (status == BP_OK)
        end = print_list(cli, arguments, &all, with_seen);
    else {
        bp_say(cli, "%s", bp_status_text(status));
        end = bp_exit_of(status);
    }
    free(rows);
    bp_circuit_free(&circuit);
    return end;
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    own_arguments wanted = {0};
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, &wanted);
    if (end == BP_EXIT_CARRY_ON && wanted.seen && wanted.quick)
        end = bp_wrong_usage(cli, "--seen and --quick: one of them");
    if (end == BP_EXIT_CARRY_ON)
        end = list_faults(cli, &arguments, wanted.seen || (arguments.json && !wanted.quick));
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_faults = {"faults", "lists every fault of a circuit", run};
