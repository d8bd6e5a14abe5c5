/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Waveforms on a test-point sheet: those that the circuit's file names.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "render/plot_page.h"
#include "render/style.h"

/* More height than the least for each plot: where the page has it, and so that it stays on it; and
 * what the last one on a page may have in all. */
static const double comfort = 110, enough = 40, tall = 400, gap = 14;

static bp_scope_question question_of(const bp_facts *facts, const bp_waveform_info *info,
                                     const bp_scope_trace *traces) {
    bp_scope_question q = BP_SCOPE_QUESTION_INIT;
    q.state = info->state;
    q.traces = traces;
    q.n_traces = info->n_traces;
    q.from = info->from;
    q.to = info->to;
    q.ambient = facts->options.ambient;
    q.engine = facts->options.engine;
    q.supply = facts->options.supply;
    return q;
}

/* The questions, good ones first; the faulted ones behind them in the same order. */
static size_t make_questions(const bp_facts *facts, bp_scope_question *questions,
                             bp_scope_trace (*traces)[BP_PLOT_MOST_TRACES]) {
    const size_t n = facts->n_waves;
    for (size_t i = 0; i < n; i++) {
        const bp_waveform_info info = bp_circuit_waveform_info(facts->circuit, i);
        for (size_t t = 0; t < info.n_traces && t < BP_PLOT_MOST_TRACES; t++)
            traces[i][t] = bp_circuit_waveform_trace(facts->circuit, i, t);
        questions[i] = questions[n + i] = question_of(facts, &info, traces[i]);
        questions[n + i].faults = facts->options.faults;
    }
    return facts->faults.n > 0 ? 2 * n : n;
}

bp_status bp_waves_gather(bp_facts *facts, bp_lab *lab, bp_report *report) {
    const size_t n = bp_circuit_n_waveforms(facts->circuit);
    if (n == 0)
        return BP_OK;
    bp_scope_question *questions = bp_zeroed(2 * n, sizeof *questions);
    bp_scope_trace(*traces)[BP_PLOT_MOST_TRACES] = bp_zeroed(n, sizeof *traces);
    facts->waves = bp_zeroed(2 * n, sizeof *facts->waves);
    facts->n_waves = n;
    bp_status status = questions && traces && facts->waves ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK) {
        const size_t all = make_questions(facts, questions, traces);
        status = bp_lab_scope_many(lab, questions, all, facts->waves, NULL, NULL, report);
    }
    free(questions);
    free(traces);
    return status;
}

void bp_waves_clear(bp_facts *facts) {
    for (size_t i = 0; facts->waves && i < 2 * facts->n_waves; i++)
        bp_scope_run_free(&facts->waves[i]);
    free(facts->waves);
}

static void heading_words(const bp_waveform_info *info, bool both, char *name, char *remark,
                          size_t size) {
    char from[48], to[48];
    bp_plot_value(info->from, BP_UNIT_SECOND, from, sizeof from);
    bp_plot_value(info->to, BP_UNIT_SECOND, to, sizeof to);
    snprintf(name, size, "Waveform: %s", info->label ? info->label : info->id);
    snprintf(remark, size, "state %s, %s to %s%s", info->state, from, to,
             both ? "; the good circuit behind the one with this fault" : "");
}

static double heading_height(const bp_flow *flow, const char *name, const char *remark) {
    bp_box head = bp_text_size(flow->canvas, name, &bp_font_heading, 0);
    const double room = flow->right - flow->left - head.w - 10;
    return fmax(head.h, 4 + bp_text_size(flow->canvas, remark, &bp_font_small, room).h) + 4;
}

/* A waveform on its way to the page. */
typedef struct wave {
    bp_plot_runs runs;
    bool drawable; /* a run that has no result is told of, and not drawn */
    char name[200], remark[200], failed[700];
    double head, least; /* heights */
} wave;

static bp_status measure_wave(const bp_flow *flow, size_t i, wave *w) {
    const bp_facts *facts = flow->facts;
    const bp_waveform_info info = bp_circuit_waveform_info(facts->circuit, i);
    const double width = flow->right - flow->left;
    *w = (wave){.runs = {facts->waves[i], facts->waves[facts->n_waves + i]}};
    w->drawable = bp_plot_drawable(w->runs.good) || bp_plot_drawable(w->runs.fault);
    heading_words(&info, w->runs.fault != NULL, w->name, w->remark, sizeof w->name);
    bp_plot_failed_words(&w->runs, w->failed, sizeof w->failed);
    w->head = heading_height(flow, w->name, w->remark);
    if (w->failed[0])
        w->head += bp_text_size(flow->canvas, w->failed, &bp_font_text, width).h + 4;
    return w->drawable ? bp_plot_least(flow->canvas, width, &w->runs, &w->least) : BP_OK;
}

static double needs(const wave *w) { return w->head + w->least + (w->drawable ? enough : 0); }

/* next: what the one behind it needs at least, INFINITY when there is none. */
static bp_status draw_wave(bp_flow *flow, const wave *w, double next) {
    const double width = flow->right - flow->left;
    bp_flow_need(flow, needs(w));
    const double room = flow->bottom - flow->y - w->head, wish = w->least + comfort;
    const bool last = room - wish - gap < next;
    const double height = w->drawable ? fmin(last ? fmax(wish, tall) : wish, room) : 0;
    bp_flow_heading(flow, w->name, w->remark);
    if (w->failed[0])
        flow->y +=
            bp_text(flow->canvas, flow->left, flow->y, w->failed, &bp_font_text, BP_LEFT, width).h +
            4;
    const bp_box box = {flow->left, flow->y, width, height};
    flow->y += height + gap;
    return w->drawable ? bp_plot_draw(flow->canvas, box, &w->runs) : BP_OK;
}

bp_status bp_block_waveforms(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    bp_status status = BP_OK;
    flow->y += facts->n_waves ? gap : 0;
    wave one, behind;
    if (facts->n_waves > 0)
        status = measure_wave(flow, 0, &behind);
    for (size_t i = 0; i < facts->n_waves && status == BP_OK; i++) {
        const bool more = i + 1 < facts->n_waves;
        one = behind;
        if (more)
            status = measure_wave(flow, i + 1, &behind);
        if (status == BP_OK)
            status = draw_wave(flow, &one, more ? needs(&behind) : INFINITY);
    }
    return status;
}
