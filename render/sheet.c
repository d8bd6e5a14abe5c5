/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The test-point sheet. It is composed twice: once to count its pages, once to draw them.
 */
#include <backprobe/sheet.h>

#include <math.h>

#include "render/sheet.h"
#include "render/sheet_layout.h"
#include "render/style.h"

static void draw_legend(const bp_flow *flow, double y, double width) {
    bool fault = flow->facts->fault != NULL;
    if (flow->facts->circuit->n_points == 0)
        return;
    bp_text(flow->canvas, flow->left, y,
            fault ? "Tag: the good reading, then the one with this fault; ▲ above, ▼ below its "
                    "good range."
                  : "Tag: letter of the test point and its good reading.",
            &bp_font_small, BP_LEFT, width);
}

/* Where the drawing needed the room of the cautions. Returns the width that it takes. */
static double draw_pointer(const bp_flow *flow, double y) {
    if (flow->cautions_page <= 1)
        return 0;
    return 12 + bp_text(flow->canvas, flow->right, y, "Read the cautions on page 2 first.",
                        &bp_font_small_strong, BP_RIGHT, 0)
                    .w;
}

static void draw_boxes(bp_flow *flow, const bp_box box[2], double x, double y) {
    for (size_t i = 0; i < bp_side_boxes(flow); i++)
        bp_side_box_draw(flow, i, (bp_box){x + box[i].x, y + box[i].y, box[i].w, box[i].h});
}

static void draw_first_page(bp_flow *flow, const bp_layout *l) {
    const bp_facts *facts = flow->facts;
    bp_schematic_view view = {.looks = facts->looks,
                              .tags = facts->tags,
                              .faults = facts->faults.n ? &facts->faults : NULL};
    bp_schematic_draw(l->schematic, flow->canvas, flow->left + l->drawing.x, flow->y + l->drawing.y,
                      &view);
    double free = l->boxes == BP_BOXES_BESIDE ? l->box[0].x : flow->right - flow->left;
    double low = flow->y + l->drawing.h + 2, pointer = draw_pointer(flow, low);
    draw_legend(flow, low, l->boxes == BP_BOXES_BESIDE ? free : free - pointer);
    if (l->boxes != BP_BOXES_NEXT_PAGE)
        draw_boxes(flow, l->box, flow->left, flow->y);
    flow->y += l->height + BP_BLOCK_GAP;
}

/* What the first page had no room for. */
static void draw_next_pages(bp_flow *flow, const bp_layout *l) {
    if (l->boxes != BP_BOXES_NEXT_PAGE && l->drops && l->readings && l->cautions)
        return;
    bp_flow_next_page(flow);
    if (!l->cautions) {
        bp_block_cautions(flow);
        flow->y += 14;
    }
    if (l->boxes == BP_BOXES_NEXT_PAGE) {
        bp_box box[2];
        double height = bp_layout_abreast(flow, 0, 0, flow->right - flow->left, box);
        draw_boxes(flow, box, flow->left, flow->y);
        flow->y += height + 14;
    }
    if (!l->drops)
        bp_block_drops(flow);
    if (!l->readings)
        bp_block_readings(flow);
}

/* The whole sheet onto a canvas; n_pages 0: only counted. The layout is chosen by the first call.
 */
static bp_status compose(bp_canvas *canvas, const bp_facts *facts, size_t n_pages,
                         bp_canvas *scratch, bp_layout *l) {
    bp_flow flow;
    bp_flow_begin(&flow, canvas, facts, n_pages);
    bp_block_head(&flow);
    double cautions = bp_block_height(&flow, scratch, bp_block_cautions);
    if (!l->schematic)
        *l = bp_layout_choose(&flow, scratch, cautions);
    if (!l->schematic)
        return BP_ERR_MEMORY;
    flow.cautions_page = facts->circuit->n_cautions == 0 ? 0 : l->cautions ? 1 : 2;
    draw_first_page(&flow, l);
    if (l->drops)
        bp_block_drops(&flow);
    if (l->readings)
        bp_block_readings(&flow);
    if (l->cautions) {
        flow.y = flow.bottom - cautions;
        bp_block_cautions(&flow);
    }
    draw_next_pages(&flow, l);
    const bp_status status = bp_block_waveforms(&flow);
    bp_flow_end(&flow);
    return status;
}

bp_status bp_sheet_compose(bp_canvas *canvas, const bp_facts *facts) {
    bp_paper paper = facts->options.letter ? BP_PAPER_LETTER : BP_PAPER_A4;
    bp_canvas *scratch = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_canvas *counting = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_layout l = {0};
    bp_status status = scratch && counting ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK)
        status = compose(counting, facts, 0, scratch, &l);
    if (status == BP_OK)
        status = compose(canvas, facts, bp_canvas_n_pages(counting), scratch, &l);
    bp_schematic_free(&l.schematic);
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
