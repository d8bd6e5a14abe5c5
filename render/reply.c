/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The reply sheet on its page: the wiring on the left, the tests beside it. Where that leaves the
 * drawing too small, it goes to a page of its own. Composed twice, as the test-point sheet is.
 */
#include "render/reply.h"

#include <math.h>
#include <stdlib.h>

#include "render/reply_blocks.h"
#include "render/sheet_layout.h"

static const double gap = 12, block_gap = 9;
static const double widest = 350, narrowest = 220; /* of a drawing beside the tests */
/* A drawing shrunk by more cannot be read on paper. */
static const double too_small = 0.56;

/* Where the boxes of words stand. */
typedef enum boxes_place {
    UNDER_TESTS, /* in the tests' column: the drawing gets all the height */
    ACROSS,      /* side by side under drawing and tests */
    N_PLACES,
    FLOWING /* the drawing has a page of its own */
} boxes_place;

typedef struct page_plan {
    boxes_place boxes;
    bp_schematic *schematic;
    double height; /* of the drawing and what stands beside it */
} page_plan;

static bp_schematic *draw_within(const bp_reply *reply, bp_canvas *scratch, double width,
                                 double height) {
    return bp_schematic_new_without(&reply->shown, reply->left_out, scratch, width, height, 1,
                                    reply->base.options.us_units);
}

static double legend_height(const bp_flow *flow, const bp_reply *reply, double width) {
    return bp_reply_legend(flow->canvas, reply, 0, 0, width, false) + 4;
}

/* The column beside the drawing: tests, and the boxes where they belong there. */
static double column(bp_flow *flow, const bp_reply *reply, boxes_place boxes, double x,
                     double width, bool draw) {
    bp_flow at = *flow;
    at.y += bp_reply_tests(flow->canvas, reply, x, flow->y, width, draw);
    if (boxes == UNDER_TESTS) {
        at.y += block_gap;
        at.y += bp_reply_boxes(flow->canvas, reply, x, at.y, width, false, draw);
    }
    return at.y - flow->y;
}

/* The widest drawing beside which the column still fits. 0: there is none. */
static double width_beside(bp_flow *flow, const bp_reply *reply, boxes_place boxes, double height) {
    for (double width = widest; width >= narrowest; width -= 10) {
        const double rest = flow->right - flow->left - width - gap;
        if (column(flow, reply, boxes, 0, rest, false) <= height)
            return width;
    }
    return 0;
}

/* One way to share the first page; schematic NULL when it does not work out. */
static page_plan try_place(bp_flow *flow, const bp_reply *reply, bp_canvas *scratch,
                           boxes_place boxes, double below) {
    page_plan p = {.boxes = boxes, .height = flow->bottom - flow->y - below};
    if (boxes == ACROSS)
        p.height -= block_gap + bp_reply_boxes(flow->canvas, reply, 0, 0, flow->right - flow->left,
                                               true, false);
    const double width = p.height > 0 ? width_beside(flow, reply, boxes, p.height) : 0;
    /* The drawing may come out narrower than its room, and the legend then runs to more lines. */
    const double room = width > 0 ? p.height - legend_height(flow, reply, narrowest) : 0;
    if (room > 0)
        p.schematic = draw_within(reply, scratch, width, room);
    return p;
}

static double size_of(const page_plan *plan) {
    return plan->schematic ? bp_schematic_shrink(plan->schematic) : 0;
}

/* The place that leaves the drawing largest. `flow` stands below the findings, `below` is the
 * height of the cautions. */
static page_plan make_plan(bp_flow *flow, const bp_reply *reply, bp_canvas *scratch, double below) {
    page_plan best = {.boxes = FLOWING};
    for (int place = 0; place < N_PLACES; place++) {
        page_plan p = try_place(flow, reply, scratch, (boxes_place)place, below);
        if (size_of(&p) > fmax(size_of(&best), too_small)) {
            bp_schematic_free(&best.schematic);
            best = p;
        } else {
            bp_schematic_free(&p.schematic);
        }
    }
    if (best.schematic)
        return best;
    const double width = flow->right - flow->left;
    best.schematic = draw_within(reply, scratch, width,
                                 flow->bottom - flow->top - 60 - legend_height(flow, reply, width));
    return best;
}

static void draw_wiring(const bp_flow *flow, const bp_reply *reply, const page_plan *plan,
                        double width) {
    const bp_box size = bp_schematic_size(plan->schematic);
    const bp_schematic_view view = {.looks = reply->base.looks, .tags = reply->tags};
    bp_schematic_draw(plan->schematic, flow->canvas, flow->left + (width - size.w) / 2, flow->y,
                      &view);
    bp_reply_legend(flow->canvas, reply, flow->left, flow->y + size.h + 4, width, true);
}

static void draw_beside(bp_flow *flow, const bp_reply *reply, const page_plan *plan) {
    const double all = flow->right - flow->left;
    const double width = fmax(bp_schematic_size(plan->schematic).w, narrowest);
    draw_wiring(flow, reply, plan, width);
    column(flow, reply, plan->boxes, flow->left + width + gap, all - width - gap, true);
    flow->y += plan->height + block_gap;
    if (plan->boxes == ACROSS)
        flow->y +=
            bp_reply_boxes(flow->canvas, reply, flow->left, flow->y, all, true, true) + block_gap;
}

/* Tests across the page, each where it still fits; the drawing gets the next page. */
static void draw_apart(bp_flow *flow, const bp_reply *reply) {
    const double width = flow->right - flow->left;
    for (size_t i = 0; i < reply->n_tests; i++) {
        bp_flow_need(flow, bp_reply_test_draw(flow->canvas, reply, i, 0, 0, width, false));
        flow->y += bp_reply_test_draw(flow->canvas, reply, i, flow->left, flow->y, width, true) +
                   block_gap;
    }
    if (reply->n_tests > 0)
        return;
    bp_flow_need(flow, bp_reply_tests(flow->canvas, reply, 0, 0, width, false));
    flow->y += bp_reply_tests(flow->canvas, reply, flow->left, flow->y, width, true) + block_gap;
}

/* What does not fit on one page. */
static void draw_flowing(bp_flow *flow, const bp_reply *reply, const page_plan *plan) {
    const double width = flow->right - flow->left;
    bp_block_cautions(flow);
    flow->y += flow->cautions_page ? block_gap : 0;
    draw_apart(flow, reply);
    bp_flow_need(flow, bp_reply_boxes(flow->canvas, reply, 0, 0, width, true, false));
    flow->y += bp_reply_boxes(flow->canvas, reply, flow->left, flow->y, width, true, true);
    bp_flow_next_page(flow);
    draw_wiring(flow, reply, plan, width);
}

static bool compose(bp_canvas *canvas, const bp_reply *reply, size_t n_pages, bp_canvas *scratch,
                    page_plan *plan) {
    bp_flow flow;
    bp_flow_begin(&flow, canvas, &reply->base, n_pages);
    bp_reply_head(&flow, reply);
    const double cautions = bp_block_height(&flow, scratch, bp_block_cautions);
    flow.cautions_page = cautions > 0 ? 1 : 0;
    flow.y += bp_reply_findings(&flow, reply, true) + block_gap;
    if (!plan->schematic)
        *plan = make_plan(&flow, reply, scratch, cautions > 0 ? cautions + block_gap : 0);
    if (!plan->schematic)
        return false;
    if (plan->boxes == FLOWING) {
        draw_flowing(&flow, reply, plan);
    } else {
        draw_beside(&flow, reply, plan);
        flow.y = fmax(flow.y, flow.bottom - cautions);
        bp_block_cautions(&flow);
    }
    bp_flow_end(&flow);
    return true;
}

bp_status bp_reply_compose(bp_canvas *canvas, const bp_reply *reply, double *drawn) {
    const bp_paper paper = reply->base.options.letter ? BP_PAPER_LETTER : BP_PAPER_A4;
    bp_canvas *scratch = bp_canvas_new(NULL, paper, NULL, NULL);
    bp_canvas *counting = bp_canvas_new(NULL, paper, NULL, NULL);
    page_plan plan = {0};
    bool good = scratch && counting;
    good = good && compose(counting, reply, 0, scratch, &plan);
    good = good && compose(canvas, reply, bp_canvas_n_pages(counting), scratch, &plan);
    if (drawn)
        *drawn = plan.boxes == FLOWING ? 0 : size_of(&plan);
    bp_schematic_free(&plan.schematic);
    bp_canvas_free(&counting);
    bp_canvas_free(&scratch);
    return good ? BP_OK : BP_ERR_MEMORY;
}
