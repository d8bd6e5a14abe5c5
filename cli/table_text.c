/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fault table for people: faults that look alike stand together, and under them only what
 * leaves its good range.
 */
#include <stdlib.h>
#include <string.h>

#include "cli/columns.h"
#include "cli/reading.h"
#include "cli/table.h"
#include "sim/instrument.h"

#define TIE "\u00a0" /* a blank at which no line is broken */

enum { STATE_INDENT = 4 };

/* The rows that are shown. Row 0, the healthy circuit, is what they are compared with. */
typedef struct selection {
    const bp_circuit *circuit;
    const bp_table *table;
    bool all;
} selection;

static bool is_shown(const selection *s, size_t i) {
    const bp_table_row *row = bp_table_row_at(s->table, i);
    return i > 0 && (s->all || row->typical);
}

static bool is_first_of_group(const selection *s, size_t index) {
    size_t group = bp_table_row_at(s->table, index)->group;
    for (size_t i = 1; i < index; i++)
        if (is_shown(s, i) && bp_table_row_at(s->table, i)->group == group)
            return false;
    return true;
}

/* What leaves its good range in one state, as far as it goes into the text. */
typedef struct move {
    const bp_reading *reading;
    int mark;
    char text[64];
    bool told;
} move;

static bool is_automatic(const selection *s, const bp_reading *reading) {
    size_t point = reading->point ? bp_point_find(s->circuit, reading->point) : BP_NONE;
    return point != BP_NONE && s->circuit->points[point].automatic;
}

/* The readings that moved, test tabs of fuses after the points. Returns how many; *n_points: how
 * many are points. */
static size_t find_moves(const selection *s, const bp_state_answer *healthy,
                         const bp_state_answer *state, move *moves, size_t *n_points) {
    size_t n = 0;
    for (int tabs = 0; tabs < 2; tabs++) {
        for (size_t i = 0; healthy && i < state->n_readings && i < healthy->n_readings; i++) {
            move m = {.reading = &state->readings[i]};
            m.mark = bp_reading_mark(&healthy->readings[i], m.reading);
            bool same = m.mark == 0 && m.reading->status == healthy->readings[i].status;
            if (same || is_automatic(s, m.reading) != (tabs == 1))
                continue;
            bp_show_reading(m.reading, m.text, sizeof m.text);
            moves[n++] = m;
        }
        *n_points = tabs == 0 ? n : *n_points;
    }
    return n;
}

/* "A C D ▼ 0.000 V": all points that show the same as move `first`. */
static void write_alike(FILE *f, move *moves, size_t n, size_t first) {
    fputs(ftell(f) > 0 ? ", " : "", f);
    for (size_t i = first; i < n; i++) {
        if (moves[i].mark != moves[first].mark || strcmp(moves[i].text, moves[first].text) != 0)
            continue;
        moves[i].told = true;
        fprintf(f, "%s%s", i == first ? "" : " ", moves[i].reading->point);
    }
    fprintf(f, TIE "%s%s", bp_mark_text(moves[first].mark), moves[first].mark ? TIE : "");
    for (const char *c = moves[first].text; *c; c++)
        fputs(*c == ' ' ? TIE : (char[]){*c, '\0'}, f);
}

/* "A C D ▼ 0.000 V, B ▲ 12.1 V"; empty when nothing leaves its good range. Tabs that read as no
 * point does are told only when no point moved. Owned by the caller. */
static char *changes(const selection *s, const bp_state_answer *healthy,
                     const bp_state_answer *state) {
    char *words = NULL;
    size_t size, n_points = 0;
    move *moves = bp_must(calloc(state->n_readings + 1, sizeof *moves));
    size_t n = find_moves(s, healthy, state, moves, &n_points);
    FILE *f = bp_must(open_memstream(&words, &size));
    for (size_t i = 0; i < (n_points ? n_points : n); i++)
        if (!moves[i].told)
            write_alike(f, moves, n, i);
    if (fclose(f) != 0)
        bp_must(NULL);
    free(moves);
    return bp_must(words);
}

/* "prime, running" for the states from `first` on in which the same moved. Owned by the caller. */
static char *states_alike(const bp_answer *answer, char *const *words, size_t first) {
    char *names = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&names, &size));
    for (size_t i = first; i < answer->n_states; i++) {
        const bp_state_answer *state = &answer->states[i];
        if (strcmp(words[i], words[first]) == 0)
            fprintf(f, "%s%s%s%s", ftell(f) > 0 ? ", " : "", state->state, state->phase ? " " : "",
                    state->phase ? state->phase : "");
    }
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(names);
}

static bool was_told(char *const *words, size_t index) {
    for (size_t i = 0; i < index; i++)
        if (strcmp(words[i], words[index]) == 0)
            return true;
    return false;
}

static void print_changes(const bp_screen *out, const selection *s, const bp_table_row *row) {
    const bp_answer *healthy = bp_table_row_at(s->table, 0)->answer, *answer = row->answer;
    char **words = bp_must(calloc(answer->n_states + 1, sizeof *words));
    bp_columns *table = bp_columns_new(out, 2);
    bp_columns_head(table, 1, "", BP_CELL_LEFT, true);
    for (size_t i = 0; i < answer->n_states; i++)
        words[i] = changes(s, bp_same_state(healthy, &answer->states[i]), &answer->states[i]);
    for (size_t i = 0; i < answer->n_states; i++) {
        if (!*words[i] || was_told(words, i))
            continue;
        char *names = states_alike(answer, words, i);
        bp_columns_cell(table, BP_TONE_FAINT, TIE TIE "%s", names);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", words[i]);
        free(names);
    }
    for (size_t i = 0; i < answer->n_states; i++)
        free(words[i]);
    free(words);
    bp_columns_print(table);
    bp_columns_free(&table);
}

static bp_columns *faults_table(const bp_screen *out) {
    bp_columns *table = bp_columns_new(out, 2);
    bp_columns_head(table, 1, "", BP_CELL_LEFT, true);
    return table;
}

static void fault_cells(bp_columns *table, const bp_table_row *row) {
    bp_columns_cell(table, BP_TONE_STRONG, "%s", row->fault);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", row->words);
}

static void print_group(const bp_screen *out, const selection *s, size_t first) {
    const bp_table_row *lead = bp_table_row_at(s->table, first);
    bp_columns *table = faults_table(out);
    for (size_t i = first; i < bp_table_n_rows(s->table); i++) {
        const bp_table_row *row = bp_table_row_at(s->table, i);
        if (is_shown(s, i) && row->group == lead->group)
            fault_cells(table, row);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
    if (lead->answer)
        print_changes(out, s, lead);
    else
        bp_screen_paragraph(out, BP_TONE_PLAIN, STATE_INDENT, STATE_INDENT, "no result");
    bp_screen_gap(out);
}

static void print_silent(const bp_screen *out, const selection *s) {
    bp_columns *table = faults_table(out);
    bool any = false;
    for (size_t i = 1; i < bp_table_n_rows(s->table); i++) {
        const bp_table_row *row = bp_table_row_at(s->table, i);
        if (!is_shown(s, i) || row->telling || !row->answer)
            continue;
        any = true;
        fault_cells(table, row);
    }
    if (any)
        bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0,
                            "Nothing leaves its good range at any point:");
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void print_sum(const bp_screen *out, const selection *s) {
    size_t shown = 0, telling = 0, groups = 0;
    for (size_t i = 1; i < bp_table_n_rows(s->table); i++) {
        if (!is_shown(s, i))
            continue;
        bool tells = bp_table_row_at(s->table, i)->telling;
        shown++;
        telling += tells;
        groups += tells && is_first_of_group(s, i);
    }
    bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 0,
                        "%zu faults%s, %zu cases solved. %zu move a reading out of its good "
                        "range, in %zu patterns; faults "
                        "that stand together read alike at every point in every state.",
                        shown, s->all ? " and degrees" : " at their typical degree",
                        bp_table_n_cases(s->table), telling, groups);
    bp_screen_gap(out);
}

/* A table compares steady solutions: it would take too long to run each over time. */
static void print_pulsing(const bp_screen *out, const bp_circuit *circuit) {
    char states[200] = "";
    size_t used = 0;
    for (size_t i = 0; i < circuit->n_states && used < sizeof states; i++)
        if (bp_state_pulses(circuit, i))
            used += (size_t)snprintf(states + used, sizeof states - used, "%s%s", used ? ", " : "",
                                     circuit->states[i].id);
    if (used == 0)
        return;
    bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                        "In %s the readings stand between two pulses; a voltmeter shows the mean, "
                        "which predict works out.",
                        states);
    bp_screen_gap(out);
}

void bp_table_text(const bp_screen *out, const bp_circuit *circuit, const bp_table *table,
                   bool all) {
    const selection s = {circuit, table, all};
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s",
                        circuit->title ? circuit->title : circuit->id);
    print_sum(out, &s);
    print_pulsing(out, circuit);
    for (size_t i = 1; i < bp_table_n_rows(table); i++) {
        const bp_table_row *row = bp_table_row_at(table, i);
        if (is_shown(&s, i) && (row->telling || !row->answer) && is_first_of_group(&s, i))
            print_group(out, &s, i);
    }
    print_silent(out, &s);
}
