/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/columns.h"
#include "cli/csv.h"
#include "cli/scope.h"
#include "render/plot.h"

static const char *quantity(double value, bp_unit unit, char *text, size_t size) {
    bp_quantity_format(bp_plot_rounded(value, unit), unit, 3, text, (int)size > 0 ? size : 1);
    return text;
}

static const char *measured(const bp_scope_run *run, const bp_feature *f, char *text, size_t size) {
    bp_quantity_measured(bp_plot_feature_value(run, f), f->unit, 3, text, (int)size > 0 ? size : 1);
    return text;
}

static void feature_row(bp_columns *table, const bp_scope_run *healthy_run,
                        const bp_feature *healthy, const bp_scope_run *faulted_run,
                        const bp_feature *faulted, bool both) {
    const bp_scope_run *names = healthy_run ? healthy_run : faulted_run;
    const bp_feature *f = healthy ? healthy : faulted;
    char good[40] = "", bad[40] = "";
    assert(f);
    if (healthy)
        measured(healthy_run, healthy, good, sizeof good);
    if (faulted)
        measured(faulted_run, faulted, bad, sizeof bad);
    bp_columns_cell(table, BP_TONE_STRONG, "%s", f->part ? f->part : names->traces[f->trace].name);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", f->words);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", both || !faulted ? good : bad);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", both ? bad : "");
}

static void features(const bp_screen *out, const bp_scope_run *healthy,
                     const bp_scope_run *faulted) {
    const bool both = healthy && faulted;
    const bp_scope_run *first = healthy ? healthy : faulted;
    assert(first);
    bp_columns *table = bp_columns_new(out, 4);
    bp_columns_head(table, 0, "where", BP_CELL_LEFT, true);
    bp_columns_head(table, 1, "what", BP_CELL_LEFT, true);
    bp_columns_head(table, 2, both ? "good" : "value", BP_CELL_RIGHT, false);
    bp_columns_head(table, 3, both ? "with this fault" : "", BP_CELL_RIGHT, false);
    for (size_t i = 0; i < first->n_features; i++) {
        const bp_feature *f = &first->features[i];
        feature_row(table, healthy, healthy ? f : NULL, faulted,
                    healthy ? bp_scope_same(faulted, f) : f, both);
    }
    for (size_t i = 0; both && i < faulted->n_features; i++)
        if (!bp_scope_same(healthy, &faulted->features[i]))
            feature_row(table, healthy, NULL, faulted, &faulted->features[i], both);
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void notices(const bp_screen *out, const bp_scope_run *run) {
    for (size_t i = 0; run && i < run->n_notices; i++)
        bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 2, "%s.", run->notices[i].words);
}

void bp_scope_text(const bp_screen *out, const bp_scope_run *healthy, const bp_scope_run *faulted) {
    const bp_scope_run *shown = faulted ? faulted : healthy;
    char from[40], to[40];
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 2, "%s, %s, %s to %s: %s", shown->circuit,
                        shown->state, quantity(shown->from, BP_UNIT_SECOND, from, sizeof from),
                        quantity(shown->to, BP_UNIT_SECOND, to, sizeof to), shown->faults);
    for (size_t i = 0; i < 2; i++) {
        const bp_scope_run *run = i ? faulted : healthy;
        if (run && run->why)
            bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 2, "%s: %s", run->faults, run->why);
    }
    bp_screen_gap(out);
    features(out, healthy && !healthy->why ? healthy : faulted,
             healthy && !healthy->why && faulted && !faulted->why ? faulted : NULL);
    bp_screen_gap(out);
    notices(out, shown);
}

void bp_scope_csv(const bp_screen *out, const bp_scope_run *run) {
    bp_csv_text(out, "time (s)", run->n_traces ? ',' : '\n');
    for (size_t t = 0; t < run->n_traces; t++) {
        char *title =
            bp_format("%s (%s)", run->traces[t].name, bp_unit_symbol(run->traces[t].unit));
        bp_csv_text(out, title, t + 1 < run->n_traces ? ',' : '\n');
        free(title);
    }
    for (size_t i = 0; i < run->n; i++) {
        bp_csv_number(out, run->time[i], run->n_traces ? ',' : '\n');
        for (size_t t = 0; t < run->n_traces; t++)
            bp_csv_number(out, run->traces[t].value[i], t + 1 < run->n_traces ? ',' : '\n');
    }
}
