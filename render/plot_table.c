/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was measured on waveforms: features of parts in rows, then the traces with a column for each
 * measure.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/plot_page.h"
#include "render/style.h"

static const double pad = 6, row_pad = 2.2, column = 74;
static const double names = 118, when = 58; /* of the traces' table: name; good or with the fault */
static const double most_parts = 0.25;      /* of the width */
enum { MOST_MEASURES = 7 };

typedef struct table {
    bp_flow *flow;
    double width;
    const bp_scope_run *good, *fault; /* as drawable */
    bool both;
    double parts;                             /* width of the column of part ids */
    const bp_feature *measure[MOST_MEASURES]; /* one of each id */
    size_t n_measures;
} table;

static void value_text(const bp_scope_run *run, const bp_feature *f, char *text, size_t size) {
    if (f)
        bp_plot_feature(run, f, text, size);
    else
        snprintf(text, size, "none");
}

static void draw_bar(const table *t, double height, const char *label) {
    const bp_flow *flow = t->flow;
    const bp_box box = {flow->left, flow->y, t->width, height};
    bp_ledger_begin(flow->canvas, BP_INK_FRAME, box, label);
    bp_rect(flow->canvas, box, 0, 0, BP_GREY_FILL, true, BP_GREY_FILL);
}

static void end_bar(const table *t, double height) {
    bp_flow *flow = t->flow;
    bp_ledger_end(flow->canvas);
    flow->y += height;
    bp_line(flow->canvas, flow->left, flow->y, flow->left + t->width, flow->y, 0.8, BP_INK_BLACK);
}

static double right_of(const table *t, bool last) {
    return t->flow->left + t->width - pad - (t->both && !last ? column : 0);
}

/* Part ids take what the widest needs, up to a share of the table. */
static double parts_width(bp_canvas *canvas, const bp_scope_run *run, double width) {
    for (size_t i = 0; run && i < run->n_features; i++)
        if (run->features[i].part)
            width =
                fmax(width, bp_text_size(canvas, run->features[i].part, &bp_font_cell_strong, 0).w);
    return width;
}

static double what_x(const table *t) { return t->flow->left + t->parts + 3 * pad; }

static void features_head(const table *t) {
    bp_canvas *canvas = t->flow->canvas;
    const bp_font *font = &bp_font_cell_quiet;
    const double height = bp_text_size(canvas, "g", font, 0).h + 6, y = t->flow->y + 3;
    draw_bar(t, height, "head of what was measured");
    bp_text(canvas, t->flow->left + 2, y, "part", font, BP_LEFT, 0);
    bp_text(canvas, what_x(t), y, "what", font, BP_LEFT, 0);
    bp_text(canvas, right_of(t, false), y, "good", font, BP_RIGHT, 0);
    if (t->both)
        bp_text(canvas, right_of(t, true), y, "with this fault", font, BP_RIGHT, 0);
    end_bar(t, height);
}

static void feature_row(const table *t, const bp_feature *good, const bp_feature *fault) {
    bp_flow *flow = t->flow;
    bp_canvas *canvas = flow->canvas;
    const bp_feature *f = good ? good : fault;
    const double room = right_of(t, false) - column + pad - what_x(t);
    const double words = bp_text_size(canvas, f->words, &bp_font_cell, room).h;
    const double part = bp_text_size(canvas, f->part, &bp_font_cell_strong, t->parts + 1).h;
    const double height = fmax(words, part) + 2 * row_pad;
    char good_text[48], fault_text[48];
    value_text(t->good, good, good_text, sizeof good_text);
    value_text(t->fault, fault, fault_text, sizeof fault_text);
    if (bp_flow_need(flow, height))
        features_head(t);
    const double y = flow->y + row_pad;
    bp_text(canvas, flow->left + 2, y, f->part, &bp_font_cell_strong, BP_LEFT, t->parts + 1);
    bp_text(canvas, what_x(t), y, f->words, &bp_font_cell, BP_LEFT, room);
    bp_text(canvas, right_of(t, false), y, good_text, &bp_font_cell, BP_RIGHT, 0);
    if (t->both)
        bp_text(canvas, right_of(t, true), y, fault_text,
                strcmp(good_text, fault_text) == 0 ? &bp_font_cell : &bp_font_cell_strong, BP_RIGHT,
                0);
    flow->y += height;
    bp_line(canvas, flow->left, flow->y, flow->left + t->width, flow->y, 0.4, BP_GREY_RULE);
}

static table table_of(bp_flow *flow, const bp_plot_runs *runs, double width) {
    table t = {.flow = flow,
               .width = width,
               .good = bp_plot_drawable(runs->good),
               .fault = bp_plot_drawable(runs->fault)};
    t.both = runs->fault != NULL;
    t.parts = parts_width(flow->canvas, t.fault, parts_width(flow->canvas, t.good, 26));
    t.parts = fmin(t.parts, width * most_parts);
    return t;
}

/* Something is known of parts in one of the runs. */
static bool has_parts(const bp_scope_run *run) {
    for (size_t i = 0; run && i < run->n_features; i++)
        if (run->features[i].part)
            return true;
    return false;
}

bool bp_plot_knows_parts(const bp_plot_runs *runs) {
    return has_parts(bp_plot_drawable(runs->good)) || has_parts(bp_plot_drawable(runs->fault));
}

void bp_block_features(bp_flow *flow, const bp_plot_runs *runs, double width) {
    const table t = table_of(flow, runs, width);
    if (!bp_plot_knows_parts(runs))
        return;
    bp_flow_need(flow, 40);
    features_head(&t);
    for (size_t i = 0; t.good && i < t.good->n_features; i++) {
        const bp_feature *f = &t.good->features[i];
        if (f->part)
            feature_row(&t, f, bp_scope_same(t.fault, f));
    }
    for (size_t i = 0; t.fault && i < t.fault->n_features; i++) {
        const bp_feature *f = &t.fault->features[i];
        if (f->part && !bp_scope_same(t.good, f))
            feature_row(&t, NULL, f);
    }
}

static void add_measures(table *t, const bp_scope_run *run) {
    for (size_t i = 0; run && i < run->n_features; i++) {
        const bp_feature *f = &run->features[i];
        bool known = f->trace == BP_SCOPE_NO_TRACE;
        for (size_t k = 0; k < t->n_measures && !known; k++)
            known = strcmp(t->measure[k]->id, f->id) == 0;
        if (!known && t->n_measures < MOST_MEASURES)
            t->measure[t->n_measures++] = f;
    }
}

static double measure_width(const table *t) {
    return (t->width - names - (t->both ? when : 0)) / (double)t->n_measures;
}

static double measure_right(const table *t, size_t k) {
    return t->flow->left + t->width - pad - measure_width(t) * (double)(t->n_measures - 1 - k);
}

static void measures_head(const table *t) {
    bp_canvas *canvas = t->flow->canvas;
    const bp_font *font = &bp_font_cell_quiet;
    const double room = measure_width(t) - pad;
    double height = 0;
    for (size_t k = 0; k < t->n_measures; k++) {
        const double h = bp_text_size(canvas, t->measure[k]->words, font, room).h;
        height = h > height ? h : height;
    }
    const double y = t->flow->y + 3;
    draw_bar(t, height + 6, "head of the traces");
    bp_text(canvas, t->flow->left + 2, y, "trace, over the window", font, BP_LEFT, 0);
    for (size_t k = 0; k < t->n_measures; k++)
        bp_text(canvas, measure_right(t, k), y, t->measure[k]->words, font, BP_RIGHT, room);
    end_bar(t, height + 6);
}

/* One line of values of a trace; `beside` is the other run, whose like values are not stressed. */
static void measures_line(const table *t, size_t trace, const bp_scope_run *run,
                          const bp_scope_run *beside, double y) {
    for (size_t k = 0; k < t->n_measures; k++) {
        const bp_feature *f = bp_scope_feature(run, trace, t->measure[k]->id);
        const bp_feature *g = beside ? bp_scope_feature(beside, trace, t->measure[k]->id) : NULL;
        char text[48], other[48];
        value_text(run, f, text, sizeof text);
        value_text(beside, g, other, sizeof other);
        bp_text(t->flow->canvas, measure_right(t, k), y, f ? text : "–",
                beside && strcmp(text, other) != 0 ? &bp_font_cell_strong : &bp_font_cell, BP_RIGHT,
                0);
    }
}

static void measures_row(const table *t, size_t trace, const char *name) {
    bp_flow *flow = t->flow;
    bp_canvas *canvas = flow->canvas;
    const double line = bp_text_size(canvas, "g", &bp_font_cell, 0).h;
    const double named = bp_text_size(canvas, name, &bp_font_cell_strong, names - pad).h;
    const double height =
        (named > line * (t->both ? 2 : 1) ? named : line * (t->both ? 2 : 1)) + 2 * row_pad;
    if (bp_flow_need(flow, height))
        measures_head(t);
    double y = flow->y + row_pad;
    bp_text(canvas, flow->left + 2, y, name, &bp_font_cell_strong, BP_LEFT, names - pad);
    const double drop = (bp_font_cell.size - bp_font_cell_quiet.size) * 0.94;
    if (t->good) {
        if (t->both)
            bp_text(canvas, flow->left + names, y + drop, "good", &bp_font_cell_quiet, BP_LEFT, 0);
        measures_line(t, trace, t->good, NULL, y);
        y += line;
    }
    if (t->fault) {
        bp_text(canvas, flow->left + names, y + drop, "with this fault", &bp_font_cell_quiet,
                BP_LEFT, 0);
        measures_line(t, trace, t->fault, t->good, y);
    }
    flow->y += height;
    bp_line(canvas, flow->left, flow->y, flow->left + t->width, flow->y, 0.4, BP_GREY_RULE);
}

void bp_block_measures(bp_flow *flow, const bp_plot_runs *runs) {
    table t = table_of(flow, runs, flow->right - flow->left);
    const bp_scope_run *run = t.good ? t.good : t.fault;
    add_measures(&t, t.good);
    add_measures(&t, t.fault);
    if (t.n_measures == 0)
        return;
    bp_flow_need(flow, 40);
    measures_head(&t);
    for (size_t i = 0; i < run->n_traces; i++)
        measures_row(&t, i, run->traces[i].name);
}
