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
#include "render/sheet_facts.h"

#define TIE "\u00a0" /* a blank at which no line is broken */

enum { STATE_INDENT = 4 };

/* The rows that are shown. Row 0, the healthy circuit, is what they are compared with. */
typedef struct selection {
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

/* What leaves its good range in one state: "A ▼ 0.02 V  B ▲ 12.1 V"; empty when nothing does. Owned
 * by the caller. */
static char *changes(const bp_state_answer *healthy, const bp_state_answer *state) {
    char *words = NULL, text[64];
    size_t size;
    FILE *f = bp_must(open_memstream(&words, &size));
    for (size_t i = 0; healthy && i < state->n_readings && i < healthy->n_readings; i++) {
        int mark = bp_reading_mark(&healthy->readings[i], &state->readings[i]);
        if (mark == 0)
            continue;
        bp_show_reading(&state->readings[i], text, sizeof text);
        fprintf(f, "%s%s" TIE "%s" TIE, ftell(f) > 0 ? ", " : "", state->readings[i].point,
                bp_mark_text(mark));
        for (const char *c = text; *c; c++)
            fputs(*c == ' ' ? TIE : (char[]){*c, '\0'}, f);
    }
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(words);
}

static void print_changes(const bp_screen *out, const bp_answer *healthy, const bp_table_row *row) {
    bp_columns *table = bp_columns_new(out, 2);
    bp_columns_head(table, 1, "", BP_CELL_LEFT, true);
    for (size_t i = 0; i < row->answer->n_states; i++) {
        const bp_state_answer *state = &row->answer->states[i];
        char *words = changes(bp_same_state(healthy, state), state);
        if (*words) {
            bp_columns_cell(table, BP_TONE_FAINT, "  %s%s%s", state->state,
                            state->phase ? ", " : "", state->phase ? state->phase : "");
            bp_columns_cell(table, BP_TONE_PLAIN, "%s", words);
        }
        free(words);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void print_group(const bp_screen *out, const selection *s, size_t first) {
    const bp_table_row *lead = bp_table_row_at(s->table, first);
    for (size_t i = first; i < bp_table_n_rows(s->table); i++) {
        const bp_table_row *row = bp_table_row_at(s->table, i);
        if (is_shown(s, i) && row->group == lead->group)
            bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 4, "%s  %s", row->fault, row->words);
    }
    if (lead->answer)
        print_changes(out, bp_table_row_at(s->table, 0)->answer, lead);
    else
        bp_screen_paragraph(out, BP_TONE_PLAIN, STATE_INDENT, STATE_INDENT, "no result");
    bp_screen_gap(out);
}

static void print_silent(const bp_screen *out, const selection *s) {
    bool any = false;
    for (size_t i = 1; i < bp_table_n_rows(s->table); i++) {
        const bp_table_row *row = bp_table_row_at(s->table, i);
        if (!is_shown(s, i) || row->telling || !row->answer)
            continue;
        if (!any)
            bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0,
                                "Nothing leaves its good range at any point:");
        any = true;
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 6, "%s  %s", row->fault, row->words);
    }
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

void bp_table_text(const bp_screen *out, const bp_circuit *circuit, const bp_table *table,
                   bool all) {
    const selection s = {table, all};
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s",
                        circuit->title ? circuit->title : circuit->id);
    print_sum(out, &s);
    for (size_t i = 1; i < bp_table_n_rows(table); i++) {
        const bp_table_row *row = bp_table_row_at(table, i);
        if (is_shown(&s, i) && (row->telling || !row->answer) && is_first_of_group(&s, i))
            print_group(out, &s, i);
    }
    print_silent(out, &s);
}
