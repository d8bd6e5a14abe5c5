/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The page of waveforms. Composed twice, as the test-point sheet is: to count pages, and for good.
 */
#include "render/plot_page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/sheet_layout.h"
#include "render/style.h"

static const double box_width = 150, gap = 12;
/* A plot lower than this gives the tables to the next page; one that is taller gains nothing. */
static const double low_plot = 290, tall_plot = 470;

void bp_plot_failed_words(const bp_plot_runs *runs, char *text, size_t size) {
    const bool good = runs->good && runs->good->why, fault = runs->fault && runs->fault->why;
    snprintf(text, size, "%s%s%s%s%s",
             fault ? "With this fault the run came to no end and is not drawn: " : "",
             fault ? runs->fault->why : "", fault && good ? " " : "",
             good ? "The good circuit's run came to no end and is not drawn: " : "",
             good ? runs->good->why : "");
}

static bool has_notice(const bp_scope_run *run, const char *words) {
    for (size_t i = 0; run && i < run->n_notices; i++)
        if (strcmp(run->notices[i].words, words) == 0)
            return true;
    return false;
}

static bool add_notices(bp_words *words, const bp_scope_run *of, const bp_scope_run *other,
                        const char *when) {
    bool good = true;
    for (size_t i = 0; of && i < of->n_notices && good; i++) {
        const char *said = of->notices[i].words;
        const bool same = has_notice(other, said);
        if (!same || when[0] == '\0')
            good = bp_words_add(words, !same && other, "%s%s.", same ? "" : when, said);
    }
    return good;
}

/* What is noticed with the fault, then what only the good circuit does. */
static bool make_notices(bp_plot_page *page) {
    const bp_scope_run *good = bp_plot_drawable(page->runs.good);
    const bp_scope_run *fault = bp_plot_drawable(page->runs.fault);
    if (!fault)
        return add_notices(&page->notices, good, NULL, "");
    return add_notices(&page->notices, fault, good, "") &&
           add_notices(&page->notices, good, fault, "Good circuit: ");
}

static void make_conditions(bp_plot_page *page, const bp_scope_question *q) {
    const bp_circuit *c = page->base.circuit;
    const bp_state *state = &c->states[page->base.shown];
    const double ambient = !isnan(q->ambient)       ? q->ambient
                           : !isnan(state->ambient) ? state->ambient
                                                    : 20;
    char black[96] = "", supply[64] = "", degrees[32];
    bp_degrees_text(ambient, page->base.options.us_units, degrees, sizeof degrees);
    if (c->reference != BP_NONE)
        bp_face_words(c, c->reference, black, sizeof black);
    if (!isnan(q->supply))
        snprintf(supply, sizeof supply, "battery %.2f V without load  ·  ", q->supply);
    snprintf(page->conditions, sizeof page->conditions,
             "%s%s  ·  probe 10 MΩ, on high voltage a pick-up that loads nothing%s%s", supply,
             degrees, black[0] ? "  ·  black lead, where none is named: " : "", black);
}

bp_status bp_plot_page_make(bp_plot_page *page, const bp_circuit *circuit,
                            const bp_scope_question *question, const bp_plot_runs *runs,
                            const bp_plot_options *options) {
    const bp_scope_run *shown = runs->fault ? runs->fault : runs->good;
    char why[300];
    *page = (bp_plot_page){.base = {.circuit = circuit}, .runs = *runs};
    page->base.options.letter = options->letter;
    page->base.options.us_units = options->us_units;
    page->base.shown = bp_state_find(circuit, shown->state);
    bp_status status = page->base.shown == BP_NONE ? BP_ERR_INPUT : BP_OK;
    if (status == BP_OK && runs->fault)
        status = bp_fault_parse(circuit, runs->fault->faults, &page->base.faults, why, sizeof why);
    if (status != BP_OK)
        return status;
    bp_fault_words(circuit, &page->base.faults, page->base.fault_words,
                   sizeof page->base.fault_words);
    make_conditions(page, question);
    return make_notices(page) ? BP_OK : BP_ERR_MEMORY;
}

void bp_plot_page_clear(bp_plot_page *page) {
    bp_words_clear(&page->notices);
    *page = (bp_plot_page){0};
}

/* What is known of parts, the box of what is noticed beside it - or across the page, where nothing
 * is known of parts -, then the traces. */
static void draw_tables(bp_flow *flow, const bp_plot_page *page) {
    const double whole = flow->right - flow->left, y = flow->y;
    const double across = bp_plot_knows_parts(&page->runs) ? box_width : whole;
    const double box = page->notices.n ? bp_words_box_height(flow, across, &page->notices) : 0;
    const double width = whole - (box > 0 ? box_width + gap : 0);
    const size_t pages = bp_canvas_n_pages(flow->canvas);
    if (box > 0)
        bp_words_box_draw(flow, (bp_box){flow->right - across, y, across, box}, "What you notice",
                          &page->notices, true);
    bp_block_features(flow, &page->runs, width);
    if (bp_canvas_n_pages(flow->canvas) == pages)
        flow->y = fmax(flow->y, y + box);
    flow->y += flow->y > y ? gap : 0;
    bp_block_measures(flow, &page->runs);
}

/* Their height on an endless page. */
static double tables_height(const bp_flow *flow, bp_canvas *scratch, const bp_plot_page *page) {
    bp_flow probe = *flow;
    probe.canvas = scratch;
    probe.y = 0;
    probe.bottom = 1e9;
    draw_tables(&probe, page);
    return probe.y;
}

static bp_status draw_plot(bp_flow *flow, const bp_plot_page *page, double height) {
    const bp_box box = {flow->left, flow->y, flow->right - flow->left, height};
    flow->y += height + gap;
    return bp_plot_draw(flow->canvas, box, &page->runs);
}

static void draw_failed(bp_flow *flow, const bp_plot_page *page) {
    char text[700];
    bp_plot_failed_words(&page->runs, text, sizeof text);
    if (text[0])
        flow->y += bp_text(flow->canvas, flow->left, flow->y, text, &bp_font_strong, BP_LEFT,
                           flow->right - flow->left)
                       .h +
                   gap;
}

/* Plot, tables and cautions share the first page; where that makes the plot too low, the tables go
 * to the second, and the cautions to its head where the plot needs all of the first. */
static bp_status compose(bp_canvas *canvas, const bp_plot_page *page, size_t n_pages,
                         bp_canvas *scratch) {
    bp_flow flow;
    double least;
    bp_flow_begin(&flow, canvas, &page->base, n_pages);
    bp_block_title(&flow);
    bp_block_conditions(&flow, page->conditions);
    draw_failed(&flow, page);
    const double cautions = bp_block_height(&flow, scratch, bp_block_cautions) + gap;
    const double tables = tables_height(&flow, scratch, page) + gap;
    bp_status status = bp_plot_least(canvas, flow.right - flow.left, &page->runs, &least);
    if (status != BP_OK)
        return status;
    double room = flow.bottom - flow.y - cautions;
    const bool crowded = least > room, together = room - tables >= fmax(least, low_plot);
    room = crowded ? fmin(least, flow.bottom - flow.y) : together ? room - tables : room;
    flow.cautions_page = page->base.circuit->n_cautions == 0 ? 0 : crowded ? 2 : 1;
    status = draw_plot(&flow, page, fmin(room, fmax(tall_plot, least)));
    if (together)
        draw_tables(&flow, page);
    if (crowded)
        bp_flow_next_page(&flow);
    else
        flow.y = fmax(flow.y, flow.bottom - cautions + gap);
    bp_block_cautions(&flow);
    flow.y += gap;
    if (!together && !crowded)
        bp_flow_next_page(&flow);
    if (!together)
        draw_tables(&flow, page);
    bp_flow_end(&flow);
    return status;
}

bp_status bp_plot_compose(bp_canvas *canvas, const bp_plot_page *page) {
    const bp_paper paper = page->base.options.letter ? BP_PAPER_LETTER : BP_PAPER_A4;
    bp_canvas *scratch = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_canvas *counting = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_status status = scratch && counting ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK)
        status = compose(counting, page, 0, scratch);
    if (status == BP_OK)
        status = compose(canvas, page, bp_canvas_n_pages(counting), scratch);
    bp_canvas_free(&counting);
    bp_canvas_free(&scratch);
    return status;
}

static bp_status write_page(bp_lab *lab, const bp_plot_page *page, const char *path,
                            bp_report *report) {
    const bp_circuit *circuit = bp_lab_circuit(lab);
    bp_canvas *canvas = bp_canvas_new(
        path, page->base.options.letter ? BP_PAPER_LETTER : BP_PAPER_A4, circuit->title, report);
    if (!canvas)
        return BP_ERR_FILE;
    bp_status status = bp_plot_compose(canvas, page);
    if (status == BP_OK)
        status = bp_canvas_finish(canvas, report);
    bp_canvas_free(&canvas);
    return status;
}

bp_status bp_plot_write(bp_lab *lab, const bp_scope_question *question, const bp_scope_run *good,
                        const bp_scope_run *fault, const bp_plot_options *options, const char *path,
                        bp_report *report) {
    const bp_plot_runs runs = {good, fault};
    bp_plot_page page;
    if (!bp_plot_drawable(good) && !bp_plot_drawable(fault)) {
        bp_report_add(report, BP_MISTAKE, path, 0, 0,
                      "there is no run with a result: nothing was written");
        return BP_ERR_SOLVER;
    }
    if ((good ? good : fault)->n_traces > BP_PLOT_MOST_TRACES) {
        bp_report_add(report, BP_MISTAKE, path, 0, 0,
                      "a page holds %d traces at most; nothing was written", BP_PLOT_MOST_TRACES);
        return BP_ERR_USAGE;
    }
    bp_status status = bp_plot_page_make(&page, bp_lab_circuit(lab), question, &runs, options);
    if (status == BP_OK) {
        const char *solver = bp_lab_solver(lab);
        snprintf(page.base.solver, sizeof page.base.solver, "%s", solver ? solver : "ngspice");
        status = write_page(lab, &page, path, report);
    }
    if (status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, path, 0, 0, "out of memory; nothing was written");
    bp_plot_page_clear(&page);
    return status;
}
