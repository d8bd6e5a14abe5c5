/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings for people. Several states of a healthy circuit stand side by side, as many as the
 * terminal is wide, with the good range under each reading. One state, or a faulted circuit, has a
 * line for each point with words for the place; there the good reading and its range stand beside
 * the faulted one.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "cli/columns.h"
#include "cli/predict_text.h"
#include "cli/reading.h"
#include "sim/instrument.h"
#include "sim/means.h"

enum { N_PLACE = 3 }; /* columns before the readings */

/* Where the black lead is when it is in one place for all readings, else NULL. */
static const char *common_black(const bp_answer *answer) {
    const char *black = NULL;
    for (size_t i = 0; i < answer->n_states; i++)
        for (size_t k = 0; k < answer->states[i].n_readings; k++) {
            const char *here = answer->states[i].readings[k].black;
            if (!here || answer->states[i].readings[k].instrument == BP_AMPS_CLAMP ||
                (black && strcmp(black, here) != 0))
                return NULL;
            black = here;
        }
    return black;
}

static bool is_clamp(const bp_prediction *p) { return p->question->instrument == BP_AMPS_CLAMP; }

/* A clamp has no leads: it is around a wire. */
static void head_place(bp_columns *table, const bp_prediction *p, const char *where) {
    bp_columns_head(table, 0, is_clamp(p) ? "around" : "red", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, is_clamp(p) ? "" : "black", BP_CELL_LEFT, false);
    bp_columns_head(table, 2, is_clamp(p) ? "current from where to where" : where, BP_CELL_LEFT,
                    true);
}

static const char *or_empty(const char *text) { return text ? text : ""; }

static void place_cells(bp_columns *table, const bp_reading *reading, bool with_black,
                        const char *where) {
    const bool clamp = reading->instrument == BP_AMPS_CLAMP;
    const char *red = reading->point ? reading->point : reading->red;
    bp_columns_cell(table, BP_TONE_STRONG, "%s", or_empty(clamp ? reading->at : red));
    bp_columns_cell(table, BP_TONE_PLAIN, "%s",
                    with_black && !clamp ? or_empty(reading->black) : "");
    bp_columns_cell(table, BP_TONE_FAINT, "%s", where);
}

static void range_cell(bp_columns *table, const bp_reading *reading, bool is_short) {
    char range[64] = "";
    if (reading && reading->status == BP_READING_OK)
        bp_show_range(reading, is_short, range, sizeof range);
    bool says_more = !reading || strcmp(range, reading->display) != 0; /* a test lamp's does not */
    bp_columns_cell(table, BP_TONE_FAINT, "%s", says_more ? range : "");
}

static void value_cell(bp_columns *table, bp_tone tone, int mark, const bp_reading *reading) {
    char text[64];
    bp_show_reading(reading, text, sizeof text);
    bp_columns_cell(table, tone, "%s%s%s", bp_mark_text(mark), mark ? " " : "", text);
}

/* The states first .. first + n - 1 side by side. */
typedef struct state_span {
    size_t first, n;
    bool with_words; /* the places in words, where there is room for them; else as they are typed */
} state_span;

/* Two lines for one place: its readings, and under them their good ranges. */
static void overview_rows(bp_columns *table, const bp_prediction *p, state_span span, size_t i,
                          bool is_short) {
    const bp_state_answer *states = &p->healthy->states[span.first];
    const bp_reading *reading = &states[0].readings[i];
    bool named = !reading->point || !reading->red || strcmp(reading->point, reading->red) == 0;
    bool ranged = false;
    char *where = span.with_words || is_clamp(p) ? bp_reading_where(p->circuit, reading)
                                                 : bp_format("%s", named ? "" : reading->red);
    place_cells(table, reading, !common_black(p->healthy), where);
    free(where);
    for (size_t s = 0; s < span.n; s++) {
        value_cell(table, BP_TONE_STRONG, 0, &states[s].readings[i]);
        ranged = ranged || states[s].readings[i].low <= states[s].readings[i].high;
    }
    for (size_t k = 0; ranged && k < N_PLACE; k++)
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", "");
    for (size_t s = 0; ranged && s < span.n; s++)
        range_cell(table, &states[s].readings[i], is_short);
}

static bp_columns *overview(const bp_screen *out, const bp_prediction *p, state_span span) {
    const bp_state_answer *states = &p->healthy->states[span.first];
    bp_columns *table = bp_columns_new(out, N_PLACE + span.n);
    head_place(table, p, span.with_words ? "where the red lead is" : "at");
    for (size_t s = 0; s < span.n; s++)
        bp_columns_head(table, N_PLACE + s, states[s].state, BP_CELL_RIGHT, false);
    for (size_t i = 0; i < states[0].n_readings; i++)
        overview_rows(table, p, span, i, out->utf8);
    return table;
}

static bool fits(const bp_screen *out, const bp_prediction *p, state_span span) {
    for (size_t i = 1; i < span.n; i++)
        if (p->healthy->states[span.first + i].n_readings !=
            p->healthy->states[span.first].n_readings)
            return false;
    bp_columns *table = overview(out, p, span);
    bool does = bp_columns_least(table, SIZE_MAX) <= out->width;
    bp_columns_free(&table);
    return does;
}

/* The states from `first` on that stand in one table: as many as fit, but no lone one is left for
 * the last table. */
static state_span next_span(const bp_screen *out, const bp_prediction *p, size_t first) {
    size_t left = p->healthy->n_states - first;
    state_span span = {first, 1, false};
    while (span.n < left && fits(out, p, (state_span){first, span.n + 1, false}))
        span.n++;
    size_t tables = (left + span.n - 1) / span.n;
    span.n = (left + tables - 1) / tables;
    span.with_words = tables == 1 && fits(out, p, (state_span){first, span.n, true});
    return span;
}

static void print_overview(const bp_screen *out, const bp_prediction *p) {
    size_t n_states = p->healthy->n_states;
    for (size_t first = 0; first < n_states;) {
        state_span span = next_span(out, p, first);
        bp_columns *table = overview(out, p, span);
        bp_screen_gap(out);
        bp_columns_print(table);
        bp_columns_free(&table);
        first += span.n;
    }
    bp_screen_gap(out);
    bp_screen_paragraph(
        out, BP_TONE_FAINT, 0, 0,
        "Under each reading its good range: 95 %% of good circuits read within it.");
    for (size_t i = 0; i < n_states; i++) {
        bp_screen_gap(out);
        bp_print_state_title(out, p, &p->healthy->states[i], NULL);
        bp_print_state_words(out, p, &p->healthy->states[i], NULL);
    }
}

/* Test tabs that nobody asked for, still good: they would hide what matters. */
static bool is_quiet_tab(const bp_prediction *p, const bp_reading *good,
                         const bp_reading *faulted) {
    size_t point = faulted->point ? bp_point_find(p->circuit, faulted->point) : BP_NONE;
    return good && point != BP_NONE && p->circuit->points[point].automatic && !p->question->pairs &&
           faulted->status == BP_READING_OK && bp_reading_mark(good, faulted) == 0;
}

/* One end of what the meter held, in which state where it is another than this, and when. */
static void held_cell(bp_columns *table, const bp_state_answer *here, const bp_held *held) {
    const bool other = held && strcmp(held->state, here->state) != 0;
    char when[40] = "";
    if (held && !isnan(held->at))
        snprintf(when, sizeof when, " at %.2f s", held->at);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s%s%s%s", held ? held->display : "", other ? ", " : "",
                    other ? held->state : "", when);
}

static void state_row(bp_columns *table, const bp_prediction *p, const bp_reading *good,
                      const bp_reading *faulted) {
    char *where = bp_reading_where(p->circuit, faulted ? faulted : good);
    place_cells(table, faulted ? faulted : good,
                !common_black(p->faulted ? p->faulted : p->healthy), where);
    if (good)
        value_cell(table, faulted ? BP_TONE_PLAIN : BP_TONE_STRONG, 0, good);
    else
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", "");
    range_cell(table, good, false);
    if (faulted) {
        int mark = bp_reading_mark(good, faulted);
        value_cell(table, mark ? BP_TONE_STRONG : BP_TONE_PLAIN, mark, faulted);
    }
    free(where);
}

/* One state line by line. faulted NULL: the healthy circuit alone; good NULL: there is nothing to
 * compare with. */
static void print_state(const bp_screen *out, const bp_prediction *p, const bp_state_answer *good,
                        const bp_state_answer *faulted) {
    const bp_state_answer *shown = faulted ? faulted : good;
    const bool held = p->question->min_max;
    const size_t n_own = N_PLACE + (faulted ? 3 : 2);
    size_t quiet = 0;
    if (shown->why) /* the words tell; there is nothing to put into a table */
        return;
    bp_columns *table = bp_columns_new(out, n_own + (held ? 2 : 0));
    head_place(table, p, "where the red lead is");
    bp_columns_head(table, N_PLACE, faulted ? "good" : "reads", BP_CELL_RIGHT, false);
    bp_columns_head(table, N_PLACE + 1, "good range", BP_CELL_RIGHT, false);
    if (faulted)
        bp_columns_head(table, N_PLACE + 2, "this fault", BP_CELL_RIGHT, false);
    for (size_t k = 0; held && k < 2; k++)
        bp_columns_head(table, n_own + k, k ? "maximum" : "minimum", BP_CELL_LEFT, false);
    for (size_t i = 0; i < shown->n_readings; i++) {
        const bp_reading *g = good && i < good->n_readings ? &good->readings[i] : NULL;
        if (faulted && !held && is_quiet_tab(p, g, &faulted->readings[i])) {
            quiet++;
            continue;
        }
        state_row(table, p, g, faulted ? &faulted->readings[i] : NULL);
        if (held) {
            held_cell(table, shown, shown->readings[i].minimum);
            held_cell(table, shown, shown->readings[i].maximum);
        }
    }
    bp_columns_print(table);
    bp_columns_free(&table);
    if (quiet > 0)
        bp_screen_paragraph(out, BP_TONE_FAINT, 2, 2,
                            "%s test tabs of fuses stay in their good range.",
                            quiet == shown->n_readings ? "All" : "The other");
    if (bp_has_words(p->circuit, shown))
        bp_screen_gap(out);
}

/* True when nothing that the fault does shows in this state. */
static bool is_untouched(const bp_state_answer *good, const bp_state_answer *faulted) {
    if (!good || faulted->why || good->n_readings != faulted->n_readings)
        return false;
    for (size_t i = 0; i < faulted->n_readings; i++)
        if (faulted->readings[i].status != good->readings[i].status ||
            bp_reading_mark(&good->readings[i], &faulted->readings[i]) != 0)
            return false;
    return bp_same_words(good, faulted);
}

static void print_faulted(const bp_screen *out, const bp_prediction *p) {
    for (size_t i = 0; i < p->faulted->n_states; i++) {
        const bp_state_answer *faulted = &p->faulted->states[i];
        const bp_state_answer *good = bp_same_state(p->healthy, faulted);
        bp_screen_gap(out);
        bp_print_state_title(out, p, faulted, good);
        if (good && good->why)
            bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "The good circuit: %s", good->why);
        if (p->faulted->n_states > 1 && is_untouched(good, faulted)) {
            bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 2,
                                "Every reading stays in its good range, every load does as it "
                                "should.");
            continue;
        }
        print_state(out, p, good, faulted);
        bp_print_state_words(out, p, faulted, good);
    }
    bp_screen_gap(out);
    bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                        "%s its good range. What moved inside it is not marked.",
                        out->utf8 ? "▲ above, ▼ below" : "above, below: outside");
}

static void print_healthy(const bp_screen *out, const bp_prediction *p) {
    for (size_t i = 0; i < p->healthy->n_states; i++) {
        bp_screen_gap(out);
        bp_print_state_title(out, p, &p->healthy->states[i], NULL);
        print_state(out, p, &p->healthy->states[i], NULL);
        bp_print_state_words(out, p, &p->healthy->states[i], NULL);
    }
}

static bool shows_means(const bp_prediction *p, const bp_answer *asked) {
    for (size_t i = 0; i < asked->n_states; i++)
        if (bp_wants_means(p->question, p->circuit, asked->states[i].state))
            return true;
    return false;
}

void bp_predict_text(const bp_screen *out, const bp_prediction *prediction) {
    const bp_answer *asked = prediction->faulted ? prediction->faulted : prediction->healthy;
    bp_print_header(out, prediction, common_black(asked));
    if (prediction->faulted)
        print_faulted(out, prediction);
    else if (asked->n_states > 1 && !prediction->question->min_max)
        print_overview(out, prediction);
    else
        print_healthy(out, prediction);
    if (shows_means(prediction, asked)) {
        bp_screen_gap(out);
        bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                            "On what pulses the meter shows the mean over a run.");
    }
    if (prediction->question->min_max) {
        bp_screen_gap(out);
        bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                            "Minimum and maximum: what the meter held while the states before were "
                            "gone through, each as it settles; the state is named where it is "
                            "another one. With a time: while the state ran, so long after it was "
                            "entered, as the mean of %s before.",
                            prediction->question->peak ? "1 ms" : "0.1 s");
    }
    bp_print_caution(out, prediction->circuit);
}
