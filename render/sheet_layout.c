/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tries layouts of the first page in the order in which they are wished for. The drawing must be
 * legible; then as much as possible stays on one page.
 */
#include "render/sheet_layout.h"

#include <math.h>

#include "render/style.h"

static const double side_width = 134, gap = 12;
/* A drawing lower than this is not legible. */
static const double least_drawing = 240;
/* Texts of a drawing that is shrunk by no more read as well as full size. */
static const double legible = 0.87;
/* Where no layout is legible: how much smaller than the largest a drawing may be for a better
 * layout. */
static const double worth_it = 1.15;
/* A drawing shrunk by more is hard to read: then the cautions make room for it. */
static const double too_small = 0.82;
/* White around a box that stands within the drawing. */
static const double clearance = 9;

static const struct wish {
    bp_boxes_place boxes;
    bool drops, readings;
} wishes[] = {
    {BP_BOXES_BESIDE, true, true},      {BP_BOXES_WITHIN, true, true},
    {BP_BOXES_BELOW, true, true},       {BP_BOXES_BESIDE, true, false},
    {BP_BOXES_WITHIN, true, false},     {BP_BOXES_BELOW, true, false},
    {BP_BOXES_BESIDE, false, true},     {BP_BOXES_WITHIN, false, true},
    {BP_BOXES_BELOW, false, true},      {BP_BOXES_BESIDE, false, false},
    {BP_BOXES_WITHIN, false, false},    {BP_BOXES_BELOW, false, false},
    {BP_BOXES_NEXT_PAGE, false, false},
};
enum { N_WISHES = sizeof wishes / sizeof *wishes };

double bp_block_height(const bp_flow *flow, bp_canvas *scratch, void (*block)(bp_flow *)) {
    bp_flow probe = *flow;
    probe.canvas = scratch;
    probe.y = 0;
    probe.bottom = 1e9;
    block(&probe);
    return probe.y;
}

double bp_legend_height(const bp_flow *flow) {
    return bp_text_size(flow->canvas, "Tag", &bp_font_small, 0).h + 4;
}

double bp_layout_abreast(bp_flow *flow, double x, double y, double width, bp_box box[2]) {
    size_t n = bp_side_boxes(flow);
    double each = n ? (width - 10 * (double)(n - 1)) / (double)n : 0, height = 0;
    for (size_t i = 0; i < n; i++)
        height = fmax(height, bp_side_box_height(flow, i, each));
    for (size_t i = 0; i < n; i++)
        box[i] = (bp_box){x + (each + 10) * (double)i, y, each, height};
    return height;
}

/* Boxes one below the other in a column; returns their height. */
static double stack(bp_flow *flow, double x, bp_box box[2]) {
    double y = 0;
    for (size_t i = 0; i < bp_side_boxes(flow); i++) {
        box[i] = (bp_box){x, y, side_width, bp_side_box_height(flow, i, side_width)};
        y += box[i].h + 9;
    }
    return y > 0 ? y - 9 : 0;
}

static bool near(bp_box a, bp_box b) {
    return a.x < b.x + b.w + clearance && b.x < a.x + a.w + clearance &&
           a.y < b.y + b.h + clearance && b.y < a.y + a.h + clearance;
}

static bool is_free(const bp_canvas *drawn, bp_box box, const bp_box *other) {
    if (other && near(box, *other))
        return false;
    for (size_t i = 0; i < bp_ledger_count(drawn); i++)
        if (near(box, bp_ledger_at(drawn, i)->box))
            return false;
    return true;
}

/* Finds places at the right edge where the drawing has left room; false when there are none. */
static bool place_within(bp_flow *flow, bp_layout *l, double width) {
    const bp_facts *facts = flow->facts;
    bp_paper paper = facts->options.letter ? BP_PAPER_LETTER : BP_PAPER_A4;
    bp_canvas *drawn = bp_canvas_new(NULL, paper, NULL, NULL);
    if (!drawn)
        return false;
    bp_schematic_view view = {.looks = facts->looks,
                              .tags = facts->tags,
                              .faults = facts->faults.n ? &facts->faults : NULL};
    bp_schematic_draw(l->schematic, drawn, 0, 0, &view);
    size_t n = bp_side_boxes(flow), placed = 0;
    for (double y = 0; placed < n && y < l->drawing.h;) {
        bp_box box = {width - side_width, y, side_width,
                      bp_side_box_height(flow, placed, side_width)};
        if (box.y + box.h > l->drawing.h)
            break;
        if (is_free(drawn, box, placed ? &l->box[0] : NULL))
            l->box[placed++] = box;
        else
            y += 4;
    }
    bp_canvas_free(&drawn);
    return placed == n;
}

/* What competes with the drawing for the first page, heights in points. */
typedef struct claims {
    double room, drops, readings;
} claims;

/* A drawing that was tried, and how large it came out in its room. */
typedef struct attempt {
    double w, h, size;
    bp_schematic *schematic;
} attempt;

/* Drawings cost more than all else on a sheet: none is made twice, and none without hope. */
typedef struct search {
    bp_flow *flow;
    bp_canvas *scratch;
    attempt attempts[2 * N_WISHES + 4];
    size_t n;
} search;

static attempt *try_drawing(search *s, double w, double h) {
    for (size_t i = 0; i < s->n; i++)
        if (fabs(s->attempts[i].w - w) < 0.5 && fabs(s->attempts[i].h - h) < 0.5)
            return &s->attempts[i];
    attempt *a = &s->attempts[s->n++];
    *a = (attempt){.w = w, .h = h};
    a->schematic =
        bp_schematic_new(s->flow->facts->circuit, s->scratch, w, h, s->flow->facts->fault ? 2 : 1,
                         s->flow->facts->options.us_units);
    a->size = a->schematic ? bp_schematic_shrink(a->schematic) : 0;
    return a;
}

/* A drawing does not come out larger in less room. Symbols and gaps give way before texts, but not
 * to half. */
static bool is_hopeless(const search *s, double w, double h, double target) {
    for (size_t i = 0; i < s->n; i++) {
        const attempt *a = &s->attempts[i];
        double drawn = a->schematic ? bp_schematic_size(a->schematic).h / a->size : 0;
        if (a->w >= w - 0.5 && a->h >= h - 0.5 && (a->size < target || h < 0.5 * drawn * target))
            return true;
    }
    return false;
}

static double room_height(const bp_flow *flow, const struct wish *wish, const claims *needs) {
    return needs->room - bp_legend_height(flow) - (wish->drops ? needs->drops : 0) -
           (wish->readings ? needs->readings : 0);
}

/* One layout as wished, its drawing lent by the search; schematic NULL when it does not work out.
 */
static bp_layout try_wish(search *s, const struct wish *wish, const claims *needs, double target) {
    bp_flow *flow = s->flow;
    double width = flow->right - flow->left, legend = bp_legend_height(flow);
    bp_layout l = {.boxes = wish->boxes, .drops = wish->drops, .readings = wish->readings};
    double height = room_height(flow, wish, needs), stacked = 0, below = 0, room = width;
    if (wish->boxes == BP_BOXES_BESIDE) {
        stacked = stack(flow, width - side_width, l.box);
        room = width - side_width - gap;
    } else if (wish->boxes == BP_BOXES_BELOW) {
        below = bp_layout_abreast(flow, 0, 0, width, l.box) + gap;
    }
    bool last = wish == &wishes[N_WISHES - 1];
    if (!last && (height - below < least_drawing || stacked > height + legend ||
                  is_hopeless(s, room, height - below, target)))
        return l;
    attempt *a = try_drawing(s, room, height - below);
    if (!a->schematic || a->size < target)
        return l;
    l.schematic = a->schematic;
    l.drawing = bp_schematic_size(l.schematic);
    if (wish->boxes == BP_BOXES_WITHIN && !place_within(flow, &l, width)) {
        l.schematic = NULL;
        return l;
    }
    if (wish->boxes != BP_BOXES_WITHIN)
        l.drawing.x = (room - l.drawing.w) / 2;
    l.height = fmax(l.drawing.h + legend, stacked);
    for (size_t i = 0; i < 2 && below > 0; i++)
        l.box[i].y = l.height + gap - BP_BLOCK_GAP;
    l.height += below > 0 ? below : 0;
    return l;
}

/* The best layout in the room that cautions at the foot leave (0: they go to the next page). */
static bp_layout choose_beside(search *s, double cautions) {
    bp_flow *flow = s->flow;
    const claims needs = {
        .room = flow->bottom - flow->y - (cautions > 0 ? cautions + BP_BLOCK_GAP : 0),
        .drops = bp_block_height(flow, s->scratch, bp_block_drops) + BP_BLOCK_GAP,
        .readings = bp_block_height(flow, s->scratch, bp_block_readings) + BP_BLOCK_GAP,
    };
    bp_layout largest = try_wish(s, &wishes[N_WISHES - 1], &needs, 0);
    if (!largest.schematic)
        return largest;
    double target = fmin(bp_schematic_shrink(largest.schematic) / worth_it, legible);
    double side = flow->right - flow->left - side_width - gap;
    try_drawing(s, side, room_height(flow, &wishes[N_WISHES - 1], &needs)); /* bounds the rest */
    for (size_t i = 0; i + 1 < N_WISHES; i++) {
        bp_layout l = try_wish(s, &wishes[i], &needs, target);
        if (l.schematic)
            return l;
    }
    return largest;
}

/* Takes the layout's drawing out of the search and frees the others. */
static void keep(search *s, const bp_layout *l) {
    for (size_t i = 0; i < s->n; i++)
        if (s->attempts[i].schematic != l->schematic)
            bp_schematic_free(&s->attempts[i].schematic);
}

bp_layout bp_layout_choose(bp_flow *flow, bp_canvas *scratch, double cautions) {
    search s = {.flow = flow, .scratch = scratch};
    bp_layout l = choose_beside(&s, cautions);
    l.cautions = true;
    if (l.schematic && bp_schematic_shrink(l.schematic) < too_small) {
        bp_layout taller = choose_beside(&s, 0);
        if (taller.schematic &&
            bp_schematic_shrink(taller.schematic) >= bp_schematic_shrink(l.schematic) * worth_it)
            l = taller;
    }
    keep(&s, &l);
    return l;
}
