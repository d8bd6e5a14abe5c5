/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The drawing itself. The pushed frame is in points of the drawing's own top left corner.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "render/schematic_private.h"
#include "render/symbol_ink.h"
#include "render/tags.h"

enum { MAX_JOINTS = 256 };

static const bp_font rail_font = {8.0, BP_BOLD, BP_INK_BLACK, false};

static void draw_net(const bp_schematic *s, bp_canvas *canvas, size_t net) {
    const int(*corner)[2];
    size_t n = bp_router_path(s->router, net, &corner);
    double u = s->unit;
    bool assumed = s->plan.nets[net].part == BP_NONE && s->plan.circuit->ideal_bond &&
                   !s->plan.bottom_rail && s->plan.nets[net].end[1].block == BP_RAIL_BOTTOM;
    static const double dash[] = {3, 2};
    const char *label = s->plan.nets[net].part == BP_NONE
                            ? "line"
                            : s->plan.circuit->parts[s->plan.nets[net].part].id;
    for (size_t k = 0; k + 1 < n; k++) {
        double x1 = corner[k][0] * u, y1 = corner[k][1] * u;
        double x2 = corner[k + 1][0] * u, y2 = corner[k + 1][1] * u;
        bp_ledger_wire(canvas, x1, y1, x2, y2, label);
        if (assumed)
            bp_dashed(canvas, x1, y1, x2, y2, BP_LINE, BP_INK_BLACK, dash, 2);
    }
    double(*xy)[2] = n && !assumed ? calloc(n, sizeof *xy) : NULL;
    for (size_t k = 0; xy && k < n; k++) {
        xy[k][0] = corner[k][0] * u;
        xy[k][1] = corner[k][1] * u;
    }
    if (xy)
        bp_polyline(canvas, (const double(*)[2])xy, n, BP_LINE, BP_INK_BLACK, false);
    free(xy);
}

/* A wire that found no way: its two ends say where it goes. */
static void draw_lost(const bp_schematic *s, bp_canvas *canvas, size_t net) {
    const bp_plan *plan = &s->plan;
    for (int i = 0; i < 2; i++) {
        const bp_end *end = &plan->nets[net].end[i];
        if (end->block >= BP_RAIL_BOTTOM)
            continue;
        const bp_block *block = &plan->blocks[end->block];
        const bp_terminal *t = &block->terminal[end->terminal];
        double x = (block->x + t->x) * s->unit, y = (block->y + t->y) * s->unit;
        double out = t->side == BP_BOTTOM ? 0.7 : -0.7;
        bp_line(canvas, x, y, x, y + out * s->unit, BP_LINE, BP_INK_BLACK);
        bp_circle(canvas, x, y + out * s->unit, 1.6, BP_LINE, BP_INK_BLACK, true, BP_PAPER_WHITE);
        if (plan->nets[net].part != BP_NONE)
            bp_text(canvas, x + 4, y + out * s->unit - 4,
                    plan->circuit->parts[plan->nets[net].part].id, &bp_font_quieter, BP_LEFT, 0);
    }
}

/* The feed rail runs as far as there are wires on it. */
static void rail_reach(const bp_schematic *s, size_t rail, double *x1, double *x2) {
    *x1 = 1e9;
    *x2 = -1e9;
    for (size_t i = 0; i < s->plan.n_nets; i++)
        for (int end = 0; end < 2; end++) {
            const int(*corner)[2];
            size_t n = bp_router_path(s->router, i, &corner);
            if (s->plan.nets[i].end[end].block != rail || n == 0)
                continue;
            const int *p = corner[end ? n - 1 : 0];
            *x1 = fmin(*x1, p[0]);
            *x2 = fmax(*x2, p[0]);
        }
}

static void draw_rail(const bp_schematic *s, bp_canvas *canvas, size_t rail, double y,
                      const char *name) {
    double x1, x2, u = s->unit;
    rail_reach(s, rail, &x1, &x2);
    if (x2 < x1)
        return;
    x1 -= 1;
    x2 += 1;
    bp_line(canvas, x1 * u, y * u, x2 * u, y * u, 2.6, BP_INK_BLACK);
    for (size_t i = 0; i < s->plan.n_nets; i++)
        for (int end = 0; end < 2; end++) {
            const int(*corner)[2];
            size_t n = bp_router_path(s->router, i, &corner);
            if (s->plan.nets[i].end[end].block == rail && n > 0)
                bp_circle(canvas, corner[end ? n - 1 : 0][0] * u, y * u, 2.4, 0, BP_INK_BLACK, true,
                          BP_INK_BLACK);
        }
    bool top = rail == BP_RAIL_TOP;
    bp_box size = bp_text_size(canvas, name, &rail_font, 0);
    bp_text(canvas, x1 * u, y * u + (top ? -size.h - 2.5 : 3.5), name, &rail_font, BP_LEFT, 0);
}

/* The metal that grounds stand on: chassis strokes under the body, a plain bar for the engine. */
static void draw_metal(const bp_schematic *s, bp_canvas *canvas, int metal) {
    const bp_plan *plan = &s->plan;
    double x1 = plan->metal_x1[metal], x2 = plan->metal_x2[metal], u = s->unit;
    if (metal == 0 && plan->circuit->ideal_bond && plan->battery != BP_NONE)
        x1 = fmin(x1, plan->blocks[plan->battery].x);
    if (x2 < x1)
        return;
    double y = plan->metal_y * u;
    const char *name = metal ? "engine metal" : "body metal";
    bp_box size = bp_text_size(canvas, name, &rail_font, 0);
    if (metal == 0) {
        bp_line(canvas, x1 * u, y, x2 * u, y, 2.2, BP_INK_BLACK);
        for (double x = x1 * u + size.w + 9; x < x2 * u - 1; x += 7)
            bp_line(canvas, x, y, x - 4, y + 5, 0.8, BP_INK_BLACK);
    } else {
        bp_rect(canvas, (bp_box){x1 * u, y - 1.1, (x2 - x1) * u, 4.4}, 1, 1.1, BP_INK_BLACK, true,
                BP_GREY_FILL);
    }
    bp_text(canvas, x1 * u, y + 4.5, name, &rail_font, BP_LEFT, 0);
}

static void draw_words(const bp_schematic *s, bp_canvas *canvas, size_t index,
                       const bp_look *look) {
    const bp_block *block = &s->plan.blocks[index];
    if (block->name.w <= 0)
        return;
    bp_words words;
    const bp_part *part = bp_block_part(&s->plan, index);
    bp_block_words(&s->plan, part, &block->shape, look, &words);
    double u = s->unit;
    double x = (block->x + block->name.x + (block->name_align == BP_RIGHT ? block->name.w : 0)) * u;
    double y = (block->y + block->name.y) * u;
    bp_font bold = bp_font_part(&s->plan);
    y += bp_text(canvas, x, y, words.id, &bold, block->name_align, 0).h;
    for (size_t i = 0; i < words.n; i++) {
        bp_box size = bp_text_size(canvas, words.line[i], &words.font[i], 0);
        double most = bp_name_width(part), wrap = size.w > most ? most : 0;
        double left = wrap > 0 && block->name_align == BP_RIGHT ? x - wrap : x;
        bp_align align = wrap > 0 ? BP_LEFT : block->name_align;
        y += bp_text(canvas, left, y, words.line[i], &words.font[i], align, wrap).h;
    }
}

static void draw_block(const bp_schematic *s, bp_canvas *canvas, size_t index,
                       const bp_schematic_view *view) {
    const bp_block *block = &s->plan.blocks[index];
    const bp_part *part = bp_block_part(&s->plan, index);
    bp_look look = view->looks ? view->looks[block->part] : (bp_look){0};
    double u = s->unit;
    bool dot = part->kind == &bp_kind_splice;
    bp_box body = {block->x * u, block->y * u, block->w * u, block->h * u};
    if (dot)
        body = (bp_box){(block->x + 1) * u - 2, (block->y + 1) * u - 2, 4, 4};
    bp_ledger_begin(canvas, dot ? BP_INK_FRAME : BP_INK_SYMBOL, body, part->id);
    double x = body.x, y = body.y;
    if (dot) {
        x = block->x * u;
        y = block->y * u;
    } else if (block->turn == 90) {
        x += body.w;
    } else if (block->turn == 270) {
        y += body.h;
    }
    bp_canvas_push(canvas, x, y, block->turn, s->plan.scale);
    bp_symbol_of(part)->draw(canvas, part, &block->shape, &look);
    bp_canvas_pop(canvas);
    bool inside = block->shape.name == BP_NAME_INSIDE;
    if (inside)
        draw_words(s, canvas, index, &look);
    bp_ledger_end(canvas);
    if (!inside)
        draw_words(s, canvas, index, &look);
}

static void draw_flag(const bp_schematic *s, bp_canvas *canvas, const bp_flag *flag,
                      const bp_schematic_view *view) {
    const bp_block *block = &s->plan.blocks[flag->block];
    const bp_point *point = &s->plan.circuit->points[flag->point];
    double u = s->unit, x = (block->x + flag->ring_x) * u, y = (block->y + flag->ring_y) * u;
    bp_box tag = {(block->x + flag->tag.x) * u, (block->y + flag->tag.y) * u, flag->tag.w * u,
                  flag->tag.h * u};
    double edge = flag->left ? tag.x + tag.w : tag.x, middle = tag.y + tag.h / 2;
    double radius = flag->quiet ? BP_RING * 0.72 : BP_RING;
    bp_colour ink = flag->quiet ? BP_GREY_TEXT : BP_ACCENT;
    bp_line(canvas, x + (flag->left ? -radius : radius), y, edge, middle, 0.8, ink);
    bp_circle(canvas, x, y, radius, flag->quiet ? 0.8 : 1.2, ink, true, BP_PAPER_WHITE);
    bp_tag_draw(canvas, point, view->tags ? &view->tags[flag->point] : NULL, tag, flag->left,
                &s->plan.options.tags);
}

static void draw_label(const bp_schematic *s, bp_canvas *canvas, size_t net) {
    const bp_wire_label *label = &s->labels[net];
    if (s->plan.nets[net].part == BP_NONE || label->box.w <= 0)
        return;
    char id[64], spec[96];
    bp_wire_words(s, &s->plan.circuit->parts[s->plan.nets[net].part], id, sizeof id, spec,
                  sizeof spec);
    bp_font bold = bp_font_quieter;
    bold.weight = BP_BOLD;
    double x = label->box.x * s->unit, y = label->box.y * s->unit;
    bp_box size = bp_text(canvas, x, y, id, &bold, BP_LEFT, 0);
    if (!spec[0])
        return;
    if (label->lines == 1)
        bp_text(canvas, x + size.w + 2.5, y, spec, &bp_font_quieter, BP_LEFT, 0);
    else
        bp_text(canvas, x, y + size.h, spec, &bp_font_quieter, BP_LEFT, 0);
}

/* Parts that share one plug stand in one outline. */
static void draw_housings(const bp_schematic *s, bp_canvas *canvas) {
    const bp_plan *plan = &s->plan;
    double u = s->unit;
    static const double dash[] = {5, 2.5};
    for (size_t i = 0; i < plan->n_nodes; i++) {
        const bp_node *node = &plan->nodes[i];
        if (node->n_blocks < 2)
            continue;
        bp_box box = bp_plan_housing(plan, i);
        const double edge[5][2] = {{box.x, box.y},
                                   {box.x + box.w, box.y},
                                   {box.x + box.w, box.y + box.h},
                                   {box.x, box.y + box.h},
                                   {box.x, box.y}};
        bp_text(canvas, (box.x + box.w - 0.3) * u, (box.y + box.h) * u - 9,
                bp_block_part(plan, plan->members[node->first_block])->unit, &bp_font_quieter,
                BP_RIGHT, 0);
        for (int k = 0; k < 4; k++)
            bp_dashed(canvas, edge[k][0] * u, edge[k][1] * u, edge[k + 1][0] * u,
                      edge[k + 1][1] * u, BP_LINE_FINE, BP_INK_BLACK, dash, 2);
    }
}

static void draw_joints(const bp_schematic *s, bp_canvas *canvas) {
    int joint[MAX_JOINTS][2];
    size_t n = bp_router_joints(s->router, joint, MAX_JOINTS);
    for (size_t i = 0; i < n; i++)
        bp_circle(canvas, joint[i][0] * s->unit, joint[i][1] * s->unit, 2, 0, BP_INK_BLACK, true,
                  BP_INK_BLACK);
}

void bp_schematic_draw(const bp_schematic *s, bp_canvas *canvas, double x, double y,
                       const bp_schematic_view *view) {
    static const bp_schematic_view plain = {0};
    const bp_plan *plan = &s->plan;
    if (!view)
        view = &plain;
    bp_canvas_push(canvas, x, y, 0, s->shrink);
    for (size_t i = 0; i < plan->n_nets; i++) {
        const int(*corner)[2];
        if (bp_router_path(s->router, i, &corner) > 0)
            draw_net(s, canvas, i);
        else
            draw_lost(s, canvas, i);
    }
    const char *feed =
        plan->battery != BP_NONE && bp_block_part(plan, plan->battery)->kind != &bp_kind_battery
            ? "source"
            : "battery";
    char name[32];
    snprintf(name, sizeof name, "%s +", feed);
    draw_rail(s, canvas, BP_RAIL_TOP, plan->rail_y, name);
    snprintf(name, sizeof name, "%s −", feed);
    if (plan->bottom_rail)
        draw_rail(s, canvas, BP_RAIL_BOTTOM, plan->metal_y, name);
    draw_metal(s, canvas, 0);
    draw_metal(s, canvas, 1);
    draw_housings(s, canvas);
    draw_joints(s, canvas);
    for (size_t b = 0; b < plan->n_blocks; b++)
        draw_block(s, canvas, b, view);
    for (size_t i = 0; i < plan->n_nets; i++)
        draw_label(s, canvas, i);
    for (size_t i = 0; i < plan->n_flags; i++)
        draw_flag(s, canvas, &plan->flags[i], view);
    if (view->faults)
        bp_schematic_draw_faults(s, canvas, view->faults);
    bp_canvas_pop(canvas);
}
