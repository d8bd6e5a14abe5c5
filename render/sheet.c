/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The test-point sheet. It is composed twice: once to count its pages, once to draw them.
 */
#include <backprobe/sheet.h>

#include <math.h>

#include "render/sheet.h"
#include "render/sheet_flow.h"
#include "render/style.h"

static const double side_width = 142, gap = 14, block_gap = 10;
/* A drawing lower than this is not legible; then tables go to the next page instead. */
static const double least_drawing = 240;

/* How the first page is shared out. */
typedef struct layout {
    bp_schematic *schematic;
    bool beside;          /* boxes beside the drawing, else below it */
    bool drops, readings; /* stand on the first page too */
} layout;

/* Height of a block on an endless page. */
static double height_of(const bp_flow *flow, bp_canvas *scratch, void (*block)(bp_flow *)) {
    bp_flow probe = *flow;
    probe.canvas = scratch;
    probe.y = 0;
    probe.bottom = 1e9;
    block(&probe);
    return probe.y;
}

static double legend_height(const bp_flow *flow) {
    return bp_text_size(flow->canvas, "Tag", &bp_font_small, 0).h + 4;
}

/* A drawing for the room at hand, or NULL when it would not be legible there. */
static bp_schematic *try_drawing(const bp_flow *flow, bp_canvas *scratch, double width,
                                 double height) {
    if (height < least_drawing)
        return NULL;
    bp_schematic *schematic =
        bp_schematic_new(flow->facts->circuit, scratch, width, height, flow->facts->fault ? 2 : 1);
    bp_box size = schematic ? bp_schematic_size(schematic) : (bp_box){0};
    if (schematic && size.w <= width + 0.5 && size.h <= height + 0.5)
        return schematic;
    bp_schematic_free(&schematic);
    return NULL;
}

/* Tries to keep as much as possible on the first page, the boxes beside the drawing. */
static layout choose_layout(bp_flow *flow, bp_canvas *scratch, double room) {
    double width = flow->right - flow->left;
    double drops = height_of(flow, scratch, bp_block_drops) + block_gap;
    double readings = height_of(flow, scratch, bp_block_readings) + block_gap;
    bp_flow probe = *flow;
    probe.canvas = scratch;
    double stacked = bp_boxes_stacked(&probe, 0, 0, side_width);
    double abreast = bp_boxes_abreast(&probe, 0, 0, width) + gap;
    double legend = legend_height(flow);
    for (int with = 3; with >= 0; with--) { /* bit 1: drops, bit 0: readings */
        bool has_drops = with & 2, has_readings = with & 1;
        double left = room - (has_drops ? drops : 0) - (has_readings ? readings : 0) - legend;
        layout l = {.drops = has_drops, .readings = has_readings, .beside = true};
        if (stacked <= left)
            l.schematic = try_drawing(flow, scratch, width - side_width - gap, left);
        if (!l.schematic) {
            l.beside = false;
            l.schematic = try_drawing(flow, scratch, width, left - abreast);
        }
        if (l.schematic)
            return l;
    }
    layout l = {.schematic = bp_schematic_new(flow->facts->circuit, scratch, width, room - legend,
                                              flow->facts->fault ? 2 : 1)};
    return l;
}

static void draw_legend(bp_flow *flow, double width) {
    bool fault = flow->facts->fault != NULL;
    bp_text(flow->canvas, flow->left, flow->y,
            fault ? "Tag: good reading above, with this fault below; ▲ above, ▼ below its good "
                    "range."
                  : "Tag: letter of the test point and its good reading.",
            &bp_font_small, BP_LEFT, width);
    flow->y += legend_height(flow);
}

static void draw_first_page(bp_flow *flow, const layout *l) {
    const bp_facts *facts = flow->facts;
    double width = flow->right - flow->left, boxes = 0;
    bp_box size = bp_schematic_size(l->schematic);
    double room = l->beside ? width - side_width - gap : width;
    bp_schematic_view view = {.looks = facts->looks,
                              .tags = facts->tags,
                              .faults = facts->faults.n ? &facts->faults : NULL};
    if (l->beside)
        boxes = bp_boxes_stacked(flow, flow->right - side_width, flow->y, side_width);
    bp_schematic_draw(l->schematic, flow->canvas, flow->left + (room - size.w) / 2, flow->y, &view);
    double top = flow->y;
    flow->y += size.h + 2;
    draw_legend(flow, room);
    if (!l->beside)
        flow->y += bp_boxes_abreast(flow, flow->left, flow->y, width) + gap - block_gap;
    flow->y = fmax(flow->y, top + boxes) + block_gap;
}

/* The whole sheet onto a canvas; n_pages 0: only counted. */
static bp_status compose(bp_canvas *canvas, const bp_facts *facts, size_t n_pages,
                         bp_canvas *scratch) {
    bp_flow flow;
    bp_flow_begin(&flow, canvas, facts, n_pages);
    bp_block_head(&flow);
    double cautions = height_of(&flow, scratch, bp_block_cautions);
    layout l = choose_layout(&flow, scratch, flow.bottom - flow.y - cautions - block_gap);
    if (!l.schematic)
        return BP_ERR_MEMORY;
    draw_first_page(&flow, &l);
    bp_schematic_free(&l.schematic);
    if (l.drops)
        bp_block_drops(&flow);
    if (l.readings)
        bp_block_readings(&flow);
    flow.y = flow.bottom - cautions;
    bp_block_cautions(&flow);
    flow.cautions_above = true;
    if (!l.drops || !l.readings)
        bp_flow_next_page(&flow);
    if (!l.drops)
        bp_block_drops(&flow);
    if (!l.readings)
        bp_block_readings(&flow);
    bp_flow_end(&flow);
    return BP_OK;
}

bp_status bp_sheet_compose(bp_canvas *canvas, const bp_facts *facts) {
    bp_paper paper = facts->options.letter ? BP_PAPER_LETTER : BP_PAPER_A4;
    bp_canvas *scratch = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_canvas *counting = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_status status = scratch && counting ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK)
        status = compose(counting, facts, 0, scratch);
    if (status == BP_OK)
        status = compose(canvas, facts, bp_canvas_n_pages(counting), scratch);
    bp_canvas_free(&counting);
    bp_canvas_free(&scratch);
    return status;
}

bp_status bp_sheet_write(bp_lab *lab, const bp_sheet_options *options, const char *path,
                         bp_report *report) {
    const bp_circuit *circuit = bp_lab_circuit(lab);
    bp_canvas *canvas = bp_canvas_new(path, options->letter ? BP_PAPER_LETTER : BP_PAPER_A4,
                                      circuit->title, report);
    if (!canvas)
        return BP_ERR_FILE;
    bp_facts facts;
    bp_status status = bp_facts_gather(&facts, lab, options, report);
    if (status == BP_OK)
        status = bp_sheet_compose(canvas, &facts);
    if (status == BP_OK)
        status = bp_canvas_finish(canvas, report);
    bp_facts_clear(&facts);
    bp_canvas_free(&canvas);
    return status;
}
