/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tests on a terminal.
 */
#include <math.h>
#include <stdlib.h>

#include "circuits/circuit.h"
#include "cli/columns.h"
#include "cli/match.h"
#include "cli/next.h"

static const char *minutes_text(double minutes, char text[32]) {
    if (minutes < 1)
        snprintf(text, 32, "under a minute");
    else
        snprintf(text, 32, "about %.0f min", round(minutes));
    return text;
}

static void print_outcomes(const bp_screen *out, const bp_next_test *t) {
    bp_columns *table = bp_columns_new(out, 3);
    bp_columns_head(table, 0, "    Reads", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "How likely", BP_CELL_RIGHT, false);
    bp_columns_head(table, 2, "What that leaves", BP_CELL_LEFT, true);
    for (size_t i = 0; i < t->n_outcomes; i++) {
        const bp_next_outcome *o = &t->outcomes[i];
        char share[16];
        bp_percent(o->probability, share, sizeof share);
        bp_columns_cell(table, BP_TONE_STRONG, "    %s", o->display);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", share);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", o->means);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void print_steps(const bp_screen *out, const bp_next_test *t) {
    bp_columns *table = bp_columns_new(out, 2);
    bp_columns_head(table, 1, "", BP_CELL_LEFT, true);
    for (size_t i = 0; i < t->n_steps; i++) {
        bp_columns_cell(table, BP_TONE_FAINT, "    %s", t->steps[i].what);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", t->steps[i].how);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void print_test(const bp_screen *out, const bp_next_test *t, size_t number) {
    char minutes[32];
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 4, "%zu.  %s: %s", number, t->title,
                        minutes_text(t->minutes, minutes));
    if (t->first)
        bp_screen_paragraph(out, BP_TONE_PLAIN, 4, 4, "%s.", t->first);
    print_steps(out, t);
    bp_screen_gap(out);
    if (t->n_outcomes > 0)
        print_outcomes(out, t);
    bp_screen_gap(out);
}

static void print_end(const bp_screen *out, const bp_circuit *c, const bp_next *n) {
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s.", bp_next_end(n));
    for (size_t i = 0; bp_next_is_good(n) && i < c->n_elsewhere; i++)
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "- %s", c->elsewhere[i]);
    bp_screen_gap(out);
}

void bp_next_text(const bp_screen *out, const bp_casefile *file, const bp_next *n) {
    const bp_circuit *c = bp_casefile_circuit(file);
    const size_t suspects = bp_next_n_suspects(n);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s", bp_circuit_title(c));
    if (bp_casefile_complaint(file))
        bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 0, "%s", bp_casefile_complaint(file));
    bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 0, "%zu suspect%s left.", suspects,
                        suspects == 1 ? "" : "s");
    bp_screen_gap(out);
    if (bp_next_end(n))
        print_end(out, c, n);
    for (size_t i = 0; i < bp_next_n_tests(n); i++)
        print_test(out, bp_next_test_at(n, i), i + 1);
    for (size_t i = 0; i < c->n_cautions && bp_next_n_tests(n) > 0 && i == 0; i++)
        bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                            "Cautions: backprobe show %s. The vehicle maker's information, local "
                            "rules and a qualified technician go before this.",
                            bp_circuit_id(c));
}
