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

/* Where the boxes of words stand. */
typedef enum boxes_place { BESIDE, BELOW, NEXT_PAGE } boxes_place;

/* How the first page is shared out. */
typedef struct layout {
    boxes_place boxes;
    bool drops, readings; /* stand on the first page too */
    bp_schematic *schematic;
} layout;

/* Layouts in the order in which they are wished for. */
static const layout wishes[] = {
    {BESIDE, true, true, NULL},   {BELOW, true, true, NULL},   {BESIDE, true, false, NULL},
    {BELOW, true, false, NULL},   {BESIDE, false, true, NULL}, {BELOW, false, true, NULL},
    {BESIDE, false, false, NULL}, {BELOW, false, false, NULL}, {NEXT_PAGE, false, false, NULL},
};

/* Texts of a drawing that is shrunk by no more read as well as full size. */
static const double legible = 0.9;
/* A layout further down the wishes must make the drawing larger by this factor. */
static const double worth_it = 1.08;

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

/* Heights of all that competes for the first page. */
typedef struct heights {
    double room, drops, readings, stacked, abreast, legend;
} heights;

/* The room that a layout leaves for the drawing. */
static bp_box drawing_room(const bp_flow *flow, const layout *l, const heights *h) {
    double width = flow->right - flow->left, height = h->room - h->legend;
    height -= (l->drops ? h->drops : 0) + (l->readings ? h->readings : 0);
    if (l->boxes == BELOW)
        height -= h->abreast;
    if (l->boxes == BESIDE && h->stacked > height)
        height = 0;
    return (bp_box){0, 0, l->boxes == BESIDE ? width - side_width - gap : width, height};
}

/* The first wished layout whose drawing is legible, else the one with the largest drawing. */
static layout choose_layout(bp_flow *flow, bp_canvas *scratch, double room) {
    bp_flow probe = *flow;
    probe.canvas = scratch;
    heights h = {.room = room, .legend = legend_height(flow)};
    h.drops = height_of(flow, scratch, bp_block_drops) + block_gap;
    h.readings = height_of(flow, scratch, bp_block_readings) + block_gap;
    h.stacked = bp_boxes_stacked(&probe, 0, 0, side_width);
    h.abreast = bp_boxes_abreast(&probe, 0, 0, flow->right - flow->left) + gap;
    layout best = {0};
    double best_size = 0;
    for (size_t i = 0; i < sizeof wishes / sizeof *wishes && best_size < legible; i++) {
        layout l = wishes[i];
        bp_box box = drawing_room(flow, &l, &h);
        if (box.h < least_drawing && i + 1 < sizeof wishes / sizeof *wishes)
            continue;
        l.schematic = bp_schematic_new(flow->facts->circuit, scratch, box.w, box.h,
                                       flow->facts->fault ? 2 : 1);
        double size = l.schematic ? bp_schematic_shrink(l.schematic) : 0;
        if (size > best_size * worth_it) {
            bp_schematic_free(&best.schematic);
            best = l;
            best_size = size;
        } else {
            bp_schematic_free(&l.schematic);
        }
    }
    return best;
}

static void draw_legend(bp_flow *flow, double width) {
    bool fault = flow->facts->fault != NULL;
    bp_text(flow->canvas, flow->left, flow->y,
            fault ? "Tag: the good reading, then the one with this fault; ▲ above, ▼ below its "
                    "good range."
                  : "Tag: letter of the test point and its good reading.",
            &bp_font_small, BP_LEFT, width);
    flow->y += legend_height(flow);
}

static void draw_first_page(bp_flow *flow, const layout *l) {
    const bp_facts *facts = flow->facts;
    double width = flow->right - flow->left, boxes = 0;
    bp_box size = bp_schematic_size(l->schematic);
    double room = l->boxes == BESIDE ? width - side_width - gap : width;
    bp_schematic_view view = {.looks = facts->looks,
                              .tags = facts->tags,
                              .faults = facts->faults.n ? &facts->faults : NULL};
    if (l->boxes == BESIDE)
        boxes = bp_boxes_stacked(flow, flow->right - side_width, flow->y, side_width);
    bp_schematic_draw(l->schematic, flow->canvas, flow->left + (room - size.w) / 2, flow->y, &view);
    double top = flow->y;
    flow->y += size.h + 2;
    draw_legend(flow, room);
    if (l->boxes == BELOW)
        flow->y += bp_boxes_abreast(flow, flow->left, flow->y, width) + gap - block_gap;
    flow->y = fmax(flow->y, top + boxes) + block_gap;
}

/* What the first page had no room for. */
static void draw_next_pages(bp_flow *flow, const layout *l) {
    if (l->boxes != NEXT_PAGE && l->drops && l->readings)
        return;
    bp_flow_next_page(flow);
    if (l->boxes == NEXT_PAGE)
        flow->y += bp_boxes_abreast(flow, flow->left, flow->y, flow->right - flow->left) + gap;
    if (!l->drops)
        bp_block_drops(flow);
    if (!l->readings)
        bp_block_readings(flow);
}

/* The whole sheet onto a canvas; n_pages 0: only counted. The layout is chosen by the first call.
 */
static bp_status compose(bp_canvas *canvas, const bp_facts *facts, size_t n_pages,
                         bp_canvas *scratch, layout *l) {
    bp_flow flow;
    bp_flow_begin(&flow, canvas, facts, n_pages);
    bp_block_head(&flow);
    double cautions = height_of(&flow, scratch, bp_block_cautions);
    if (!l->schematic)
        *l = choose_layout(&flow, scratch, flow.bottom - flow.y - cautions - block_gap);
    if (!l->schematic)
        return BP_ERR_MEMORY;
    draw_first_page(&flow, l);
    if (l->drops)
        bp_block_drops(&flow);
    if (l->readings)
        bp_block_readings(&flow);
    flow.y = flow.bottom - cautions;
    bp_block_cautions(&flow);
    flow.cautions_above = true;
    draw_next_pages(&flow, l);
    bp_flow_end(&flow);
    return BP_OK;
}

bp_status bp_sheet_compose(bp_canvas *canvas, const bp_facts *facts) {
    bp_paper paper = facts->options.letter ? BP_PAPER_LETTER : BP_PAPER_A4;
    bp_canvas *scratch = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_canvas *counting = bp_canvas_new(NULL, paper, NULL, NULL);
    layout l = {0};
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
