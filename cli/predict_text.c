/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings for people. A healthy circuit is one table with its states side by side, as many as the
 * terminal is wide; with a fault each state has a table of its own, the good reading and its range
 * beside the faulted one.
 */
#include <stdlib.h>
#include <string.h>

#include "cli/columns.h"
#include "cli/predict.h"
#include "cli/predict_text.h"
#include "cli/reading.h"
#include "render/sheet_facts.h"

enum { N_PLACE = 3 };      /* columns before the readings */
enum { LEAST_WHERE = 16 }; /* the narrowest "where" that still reads well */

/* Where the black lead is when it is in one place for all readings, else NULL. */
static const char *common_black(const bp_answer *answer) {
    const char *black = NULL;
    for (size_t i = 0; i < answer->n_states; i++)
        for (size_t k = 0; k < answer->states[i].n_readings; k++) {
            const char *here = answer->states[i].readings[k].black;
            if (!here || (black && strcmp(black, here) != 0))
                return NULL;
            black = here;
        }
    return black;
}

static void head_place(bp_columns *table) {
    bp_columns_head(table, 0, "red on", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "black on", BP_CELL_LEFT, false);
    bp_columns_head(table, 2, "where the red lead is", BP_CELL_LEFT, true);
}

static void place_cells(bp_columns *table, const bp_circuit *circuit, const bp_reading *reading,
                        bool with_black) {
    char *where = bp_reading_where(circuit, reading);
    const char *red = reading->point ? reading->point : reading->red;
    bp_columns_cell(table, BP_TONE_STRONG, "%s", red ? red : "");
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", with_black && reading->black ? reading->black : "");
    bp_columns_cell(table, BP_TONE_FAINT, "%s", where);
    free(where);
}

static void reading_cells(bp_columns *table, const bp_reading *reading) {
    char text[64], range[64];
    bp_show_reading(reading, text, sizeof text);
    bp_show_range(reading, range, sizeof range);
    bp_columns_cell(table, BP_TONE_STRONG, "%s", text);
    bp_columns_cell(table, BP_TONE_FAINT, "%s", reading->status == BP_READING_OK ? range : "");
}

/* One table of states first .. first + n - 1 of a healthy circuit. Unfinished: not printed. */
static bp_columns *states_table(const bp_screen *out, const bp_prediction *p, size_t first,
                                size_t n) {
    const bp_answer *answer = p->healthy;
    bool with_black = !common_black(answer);
    bp_columns *table = bp_columns_new(out, N_PLACE + 2 * n);
    head_place(table);
    for (size_t s = 0; s < n; s++) {
        bp_columns_head(table, N_PLACE + 2 * s, answer->states[first + s].state, BP_CELL_RIGHT,
                        false);
        bp_columns_head(table, N_PLACE + 2 * s + 1, "good range", BP_CELL_RIGHT, false);
    }
    for (size_t i = 0; i < answer->states[first].n_readings; i++) {
        place_cells(table, p->circuit, &answer->states[first].readings[i], with_black);
        for (size_t s = 0; s < n; s++)
            reading_cells(table, &answer->states[first + s].readings[i]);
    }
    return table;
}

/* How many states from `first` on stand side by side: all have the same points, and the words for
 * the places get room. */
static size_t states_that_fit(const bp_screen *out, const bp_prediction *p, size_t first) {
    size_t n = 1;
    while (first + n < p->healthy->n_states &&
           p->healthy->states[first + n].n_readings == p->healthy->states[first].n_readings) {
        bp_columns *table = states_table(out, p, first, n + 1);
        bool fits = bp_columns_least(table, LEAST_WHERE) <= out->width;
        bp_columns_free(&table);
        if (!fits)
            break;
        n++;
    }
    return n;
}

static void healthy_tables(const bp_screen *out, const bp_prediction *p) {
    for (size_t first = 0, n; first < p->healthy->n_states; first += n) {
        n = states_that_fit(out, p, first);
        bp_columns *table = states_table(out, p, first, n);
        bp_screen_gap(out);
        bp_columns_print(table);
        bp_columns_free(&table);
    }
    bp_screen_gap(out);
    for (size_t i = 0; i < p->healthy->n_states; i++)
        bp_print_state_words(out, p, &p->healthy->states[i], NULL);
}

static void faulted_cell(bp_columns *table, const bp_reading *healthy, const bp_reading *faulted) {
    char text[64];
    int mark = bp_reading_mark(healthy, faulted);
    bp_show_reading(faulted, text, sizeof text);
    bp_columns_cell(table, mark ? BP_TONE_STRONG : BP_TONE_PLAIN, "%s%s%s", bp_mark_text(mark),
                    mark ? " " : "", text);
}

/* The faulted state with the healthy one of the same name, which may be missing. */
static void faulted_table(const bp_screen *out, const bp_prediction *p,
                          const bp_state_answer *faulted, const bp_state_answer *healthy) {
    bool with_black = !common_black(p->faulted);
    bp_columns *table = bp_columns_new(out, N_PLACE + 3);
    head_place(table);
    bp_columns_head(table, N_PLACE, "good", BP_CELL_RIGHT, false);
    bp_columns_head(table, N_PLACE + 1, "good range", BP_CELL_RIGHT, false);
    bp_columns_head(table, N_PLACE + 2, "this fault", BP_CELL_RIGHT, false);
    for (size_t i = 0; i < faulted->n_readings; i++) {
        const bp_reading *good = healthy && i < healthy->n_readings ? &healthy->readings[i] : NULL;
        char text[64] = "", range[64] = "";
        if (good) {
            bp_show_reading(good, text, sizeof text);
            bp_show_range(good, range, sizeof range);
        }
        place_cells(table, p->circuit, &faulted->readings[i], with_black);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", text);
        bp_columns_cell(table, BP_TONE_FAINT, "%s",
                        good && good->status == BP_READING_OK ? range : "");
        faulted_cell(table, good, &faulted->readings[i]);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void faulted_tables(const bp_screen *out, const bp_prediction *p) {
    for (size_t i = 0; i < p->faulted->n_states; i++) {
        const bp_state_answer *faulted = &p->faulted->states[i];
        const bp_state_answer *healthy = bp_same_state(p->healthy, faulted);
        bp_screen_gap(out);
        bp_print_state_title(out, p, faulted, healthy);
        faulted_table(out, p, faulted, healthy);
        bp_print_state_words(out, p, faulted, healthy);
    }
    bp_screen_gap(out);
    bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                        "%s its good range. What moved inside it is not marked.",
                        out->utf8 ? "▲ above, ▼ below" : "above, below:");
}

void bp_predict_text(const bp_screen *out, const bp_prediction *prediction) {
    const bp_answer *asked = prediction->faulted ? prediction->faulted : prediction->healthy;
    bp_print_header(out, prediction, common_black(asked));
    if (prediction->faulted)
        faulted_tables(out, prediction);
    else
        healthy_tables(out, prediction);
}
