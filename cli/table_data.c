/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fault table for other programs: JSON and CSV.
 */
#include <math.h>

#include "cli/csv.h"
#include "cli/json.h"
#include "cli/reading.h"
#include "cli/table.h"
#include "sim/instrument.h"

static const char *mark_name(const bp_state_answer *healthy, const bp_state_answer *state,
                             size_t i) {
    bool both = healthy && i < healthy->n_readings;
    int mark = both ? bp_reading_mark(&healthy->readings[i], &state->readings[i]) : 0;
    return mark > 0 ? "above" : mark < 0 ? "below" : "";
}

static json_t *state_json(const bp_answer *healthy, const bp_state_answer *state) {
    const bp_state_answer *good = bp_same_state(healthy, state);
    json_t *object = bp_json_object(), *values = bp_json_array(), *displays = bp_json_array();
    json_t *marks = bp_json_array();
    for (size_t i = 0; i < state->n_readings; i++) {
        bp_json_append(values, bp_json_number(state->readings[i].value));
        bp_json_append(displays, bp_json_text(state->readings[i].display));
        bp_json_append(marks, bp_json_text(mark_name(good, state, i)));
    }
    bp_json_set(object, "state", bp_json_text(state->state));
    bp_json_set(object, "phase", bp_json_text(state->phase));
    bp_json_set(object, "values", values);
    bp_json_set(object, "displays", displays);
    bp_json_set(object, "marks", marks);
    return object;
}

static json_t *row_json(const bp_answer *healthy, const bp_table_row *row) {
    json_t *object = bp_json_object(), *states = bp_json_array();
    for (size_t i = 0; row->answer && i < row->answer->n_states; i++)
        bp_json_append(states, state_json(healthy, &row->answer->states[i]));
    bp_json_set(object, "fault", bp_json_text(row->fault));
    bp_json_set(object, "words", bp_json_text(row->words));
    bp_json_set(object, "severity", bp_json_number(row->severity));
    bp_json_set(object, "typical", json_boolean(row->typical));
    bp_json_set(object, "group", json_integer((json_int_t)row->group));
    bp_json_set(object, "telling", json_boolean(row->telling));
    bp_json_set(object, "states", states);
    return object;
}

void bp_table_json(const bp_screen *out, const bp_circuit *circuit, const bp_table *table) {
    const bp_answer *healthy = bp_table_row_at(table, 0)->answer;
    json_t *object = bp_json_object(), *points = bp_json_array(), *rows = bp_json_array();
    for (size_t i = 0; healthy && healthy->n_states && i < healthy->states[0].n_readings; i++)
        bp_json_append(points, bp_json_text(healthy->states[0].readings[i].point));
    for (size_t i = 0; i < bp_table_n_rows(table); i++)
        bp_json_append(rows, row_json(healthy, bp_table_row_at(table, i)));
    bp_json_set(object, "circuit", bp_json_text(circuit->id));
    bp_json_set(object, "cases", json_integer((json_int_t)bp_table_n_cases(table)));
    bp_json_set(object, "groups", json_integer((json_int_t)bp_table_n_groups(table)));
    bp_json_set(object, "points", points);
    bp_json_set(object, "rows", rows);
    bp_json_print(out, object);
}

static void csv_state(const bp_screen *out, const bp_answer *healthy, const bp_table_row *row,
                      const bp_state_answer *state) {
    const bp_state_answer *good = bp_same_state(healthy, state);
    for (size_t i = 0; i < state->n_readings; i++) {
        const bp_reading *reading = &state->readings[i];
        bp_csv_text(out, row->fault, ',');
        bp_csv_number(out, row->severity, ',');
        bp_csv_text(out, row->typical ? "yes" : "no", ',');
        bp_csv_number(out, (double)row->group, ',');
        bp_csv_text(out, row->telling ? "yes" : "no", ',');
        bp_csv_text(out, state->state, ',');
        bp_csv_text(out, state->phase, ',');
        bp_csv_text(out, reading->point, ',');
        bp_csv_number(out, reading->value, ',');
        bp_csv_text(out, bp_unit_plain(reading->unit), ',');
        bp_csv_text(out, reading->display, ',');
        bp_csv_text(out, mark_name(good, state, i), '\n');
    }
}

void bp_table_csv(const bp_screen *out, const bp_circuit *circuit, const bp_table *table) {
    static const char *const titles[] = {"fault",   "severity", "typical", "group",
                                         "telling", "state",    "phase",   "point",
                                         "value",   "unit",     "display", "mark"};
    (void)circuit;
    const bp_answer *healthy = bp_table_row_at(table, 0)->answer;
    bp_csv_head(out, titles, sizeof titles / sizeof *titles);
    for (size_t i = 0; i < bp_table_n_rows(table); i++) {
        const bp_table_row *row = bp_table_row_at(table, i);
        for (size_t s = 0; row->answer && s < row->answer->n_states; s++)
            csv_state(out, healthy, row, &row->answer->states[s]);
    }
}
