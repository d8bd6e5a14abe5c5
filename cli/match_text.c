/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The ranking on a terminal.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/circuit.h"
#include "cli/columns.h"
#include "cli/match.h"

/* What is below this share is counted, not listed. */
#define LISTED 0.01
/* A good circuit is worth its hints from here on. */
#define LIKELY 0.25

void bp_percent(double p, char *text, size_t size) {
    if (p > 0.995 && p < 1)
        snprintf(text, size, ">99 %%");
    else if (p < 0.01 && p > 0)
        snprintf(text, size, " <1 %%");
    else
        snprintf(text, size, "%3.0f %%", 100 * p);
}

char *bp_how_bad(const bp_suspect_fault *fault) {
    char value[40], low[40], high[40];
    if (isnan(fault->severity))
        return bp_format("%s", "");
    bp_quantity_format(fault->severity, fault->unit, 2, value, sizeof value);
    bp_quantity_format(fault->low, fault->unit, 2, low, sizeof low);
    bp_quantity_format(fault->high, fault->unit, 2, high, sizeof high);
    if (strcmp(low, high) == 0)
        return bp_format("about %s", value);
    return bp_format("about %s, %s to %s", value, low, high);
}

static void print_fault(bp_columns *table, const bp_suspect_fault *fault, const char *share) {
    char *how_bad = bp_how_bad(fault);
    bp_columns_cell(table, BP_TONE_STRONG, "%s", share);
    bp_columns_cell(table, BP_TONE_STRONG, "%s", fault->fault);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s%s%s", fault->words, how_bad[0] ? ": " : "", how_bad);
    free(how_bad);
}

/* A suspect that is one sentence, under the shares of the others. */
static void print_line(const bp_screen *out, bp_tone tone, const char *share, const char *words) {
    bp_columns *table = bp_columns_new(out, 2);
    bp_columns_head(table, 0, "", BP_CELL_RIGHT, false);
    bp_columns_head(table, 1, "", BP_CELL_LEFT, true);
    bp_columns_cell(table, tone, "%s", share);
    bp_columns_cell(table, tone, "%s", words);
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void print_named(const bp_screen *out, const bp_suspect *s, const char *share) {
    print_line(out, BP_TONE_STRONG, share,
               s->sort == BP_SUSPECT_HEALTHY ? "This circuit is good, look elsewhere"
                                             : "The trouble was not there when it was measured");
}

static void print_suspect(const bp_screen *out, const bp_suspect *s) {
    char share[16];
    bp_percent(s->probability, share, sizeof share);
    if (s->n_faults == 0)
        print_named(out, s, share);
    if (s->n_faults > 0) {
        bp_columns *table = bp_columns_new(out, 3);
        bp_columns_head(table, 0, "", BP_CELL_RIGHT, false);
        bp_columns_head(table, 2, "", BP_CELL_LEFT, true);
        size_t hidden = 0;
        for (size_t i = 0; i < s->n_faults; i++) {
            if (s->faults[i].probability < 0.02 * s->probability && s->n_faults > 1) {
                hidden++;
                continue;
            }
            print_fault(table, &s->faults[i], i - hidden == 0 ? share : "");
        }
        if (hidden > 0) {
            bp_columns_cell(table, BP_TONE_PLAIN, "%s", "");
            bp_columns_cell(table, BP_TONE_FAINT, "%s", "...");
            bp_columns_cell(table, BP_TONE_FAINT, "and %zu that are much less likely", hidden);
        }
        bp_columns_print(table);
        bp_columns_free(&table);
    }
    bp_screen_paragraph(out, BP_TONE_PLAIN, 9, 9, "%s.", s->says);
    bp_screen_gap(out);
}

static void print_misfits(const bp_screen *out, const bp_match *m) {
    for (size_t i = 0; i < bp_match_n_misfits(m); i++) {
        const bp_misfit *x = bp_match_misfit(m, i);
        bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 4, "Does not fit: %s. Take it again; %s.",
                            x->says, x->slip);
    }
}

static void print_elsewhere(const bp_screen *out, const bp_circuit *c) {
    if (c->n_elsewhere == 0)
        return;
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "Look elsewhere:");
    for (size_t i = 0; i < c->n_elsewhere; i++)
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "- %s", c->elsewhere[i]);
}

static void print_rest(const bp_screen *out, const bp_match *m, size_t listed) {
    char share[16];
    const size_t left = bp_match_n_suspects(m) - listed;
    bp_percent(bp_match_other(m), share, sizeof share);
    print_line(out, bp_match_is_no(m) ? BP_TONE_STRONG : BP_TONE_PLAIN, share,
               bp_match_is_no(m)
                   ? "Something that is not in the list: nothing in it explains the readings"
                   : "Something that is not in the list");
    if (left > 0)
        bp_screen_paragraph(out, BP_TONE_FAINT, 9, 9,
                            "%zu more suspect%s with less than 1 %% each.", left,
                            left == 1 ? "" : "s");
}

void bp_match_text(const bp_screen *out, const bp_casefile *file, const bp_match *m) {
    const bp_circuit *c = bp_casefile_circuit(file);
    bool good_is_likely = bp_match_is_no(m);
    size_t listed = 0;
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s", bp_circuit_title(c));
    if (bp_casefile_complaint(file))
        bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 0, "%s", bp_casefile_complaint(file));
    bp_screen_gap(out);
    if (bp_match_first(m)) {
        bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s", bp_match_first(m));
        bp_screen_gap(out);
    }
    for (size_t i = 0; i < bp_match_n_left_out(m); i++) {
        bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s", bp_match_left_out(m, i));
        bp_screen_gap(out);
    }
    for (size_t i = 0; i < bp_match_n_suspects(m); i++) {
        const bp_suspect *s = bp_match_suspect(m, i);
        good_is_likely =
            good_is_likely || (s->sort == BP_SUSPECT_HEALTHY && s->probability > LIKELY);
        if (s->probability < LISTED && i > 0)
            continue;
        print_suspect(out, s);
        listed++;
    }
    print_rest(out, m, listed);
    if (bp_match_n_misfits(m) > 0)
        bp_screen_gap(out);
    print_misfits(out, m);
    if (good_is_likely) {
        bp_screen_gap(out);
        print_elsewhere(out, c);
    }
}
