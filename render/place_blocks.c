/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The blocks of a drawing: every part but the wires, a connector pin by pin, each with the space
 * that its name and the tags of its points take.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "render/place.h"
#include "render/tags.h"

double bp_plan_cells(const bp_plan *plan, double points) {
    return points / (BP_CELL * plan->scale);
}

const bp_part *bp_block_part(const bp_plan *plan, size_t block) {
    return &plan->circuit->parts[plan->blocks[block].part];
}

static bool has_point(const bp_circuit *circuit, const bp_pin *pin) {
    for (size_t i = 0; i < circuit->n_points; i++)
        if (circuit->points[i].face == pin->harness || circuit->points[i].face == pin->own)
            return true;
    return false;
}

/* A connector's pin that nothing is wired to is left out. */
static bool piece_is_drawn(const bp_part *part, size_t piece) {
    if (part->kind != &bp_kind_connector)
        return true;
    const bp_pin *half[2] = {&part->pins[piece], &part->pins[piece + part->n_pins / 2]};
    for (int i = 0; i < 2; i++)
        if (half[i]->n_wires > 0 || has_point(part->circuit, half[i]))
            return true;
    return false;
}

static void measure_words(const bp_plan *plan, const bp_words *words, double width, double *w,
                          double *h) {
    bp_font bold = bp_font_part(plan);
    bp_box size = bp_text_size(plan->measure, words->id, &bold, 0);
    *w = size.w;
    *h = size.h;
    for (size_t i = 0; i < words->n; i++) {
        size = bp_text_size(plan->measure, words->line[i], &words->font[i], 0);
        if (size.w > width)
            size = bp_text_size(plan->measure, words->line[i], &words->font[i], width);
        *w = fmax(*w, size.w);
        *h += size.h;
    }
    *w = bp_plan_cells(plan, *w);
    *h = bp_plan_cells(plan, *h);
}

/* Widest tag on a pin, with its leader, in cells; 0 when no point is on it. */
static double pin_room(const bp_plan *plan, const bp_pin *pin) {
    const bp_circuit *circuit = plan->circuit;
    double room = 0;
    for (size_t i = 0; i < circuit->n_points; i++) {
        const bp_point *point = &circuit->points[i];
        if (point->face != pin->harness && point->face != pin->own)
            continue;
        bp_box tag = bp_tag_size(plan->measure, point, &plan->options.tags);
        room = fmax(room, bp_plan_cells(plan, tag.w + 3 * BP_RING) + 1.2);
    }
    return room;
}

static void turn_terminals(bp_block *block) {
    static const bp_side right[] = {BP_RIGHT_SIDE, BP_LEFT_SIDE, BP_TOP, BP_BOTTOM};
    static const bp_side left[] = {BP_LEFT_SIDE, BP_RIGHT_SIDE, BP_BOTTOM, BP_TOP};
    const bp_shape *shape = &block->shape;
    block->w = block->turn ? shape->h : shape->w;
    block->h = block->turn ? shape->w : shape->h;
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_terminal t = shape->terminal[i];
        if (shape->mirror)
            t.x = shape->w - t.x;
        if (block->turn == 90) {
            t.x = shape->h - shape->terminal[i].y;
            t.y = shape->terminal[i].x;
            t.side = right[t.side];
        } else if (block->turn == 270) {
            t.x = shape->terminal[i].y;
            t.y = shape->w - shape->terminal[i].x;
            t.side = left[t.side];
        }
        block->terminal[i] = t;
    }
}

static void place_name(bp_block *block, double w, double h, bool to_the_left) {
    bp_name_place where = block->shape.name;
    if (where == BP_NAME_RIGHT && to_the_left)
        where = BP_NAME_LEFT;
    double middle = (block->h - h) / 2;
    block->name_align = BP_LEFT;
    if (block->turn) { /* wires leave to the sides */
        block->name = (bp_box){(block->w - w) / 2, -0.2 - h, w, h};
        return;
    }
    switch (where) {
    case BP_NAME_RIGHT:
        block->name = (bp_box){block->w + 0.35, middle, w, h};
        break;
    case BP_NAME_LEFT:
        block->name = (bp_box){-0.25 - w, middle, w, h};
        block->name_align = BP_RIGHT;
        break;
    case BP_NAME_ABOVE_LEFT:
        block->name = (bp_box){0.6 - w, 0.6 - h, w, h};
        block->name_align = BP_RIGHT;
        break;
    case BP_NAME_INSIDE:
        block->name = (bp_box){block->shape.name_x, block->shape.name_y, w, h};
        if (block->shape.mirror)
            block->name.x = block->w - block->name.x - w;
        break;
    }
}

static bool recipe_mirrors(const bp_plan *plan, const bp_block *block) {
    const bp_recipe *recipe = plan->options.recipe;
    return recipe && recipe->mirror && recipe->mirror[block - plan->blocks];
}

/* A part in line with a point on it, whose tag hangs on the right. */
static bool has_tags_right(const bp_block *block, const double *room) {
    bool tags = false;
    for (size_t i = 0; i < block->shape.n_terminals; i++)
        tags = tags || room[block->terminal[i].pin] > 0;
    return tags && block->shape.n_terminals == 2;
}

static bool shape_block(bp_plan *plan, bp_block *block, size_t piece) {
    const bp_part *part = &plan->circuit->parts[block->part];
    double *height = calloc(part->n_pins + 1, sizeof *height);
    double *room = calloc(part->n_pins + 1, sizeof *room);
    bool ok = height && room;
    bool upside_down = part->placed && part->turn == 180;
    for (size_t pin = 0; ok && pin < part->n_pins; pin++) {
        size_t node = plan->circuit->faces[part->pins[pin].harness].node;
        height[pin] = plan->height[node] - 1e-4 * (double)plan->hops[node];
        height[pin] = upside_down ? 1 - height[pin] : height[pin];
        room[pin] = pin_room(plan, &part->pins[pin]);
    }
    if (ok) {
        bp_words words;
        bp_wish wish = {.scale = plan->scale, .height = height, .room = room};
        bp_block_words(plan, part, &(bp_shape){.piece = piece}, NULL, &words);
        measure_words(plan, &words, bp_name_width(part), &wish.name_w, &wish.name_h);
        bp_symbol_of(part)->shape(part, piece, &wish, &block->shape);
        block->turn = part->placed && (part->turn == 90 || part->turn == 270) ? part->turn : 0;
        block->shape.mirror = block->turn == 0 && recipe_mirrors(plan, block);
        turn_terminals(block);
        place_name(block, wish.name_w, wish.name_h,
                   plan->options.names_left && has_tags_right(block, room));
    }
    free(height);
    free(room);
    return ok;
}

bool bp_plan_blocks(bp_plan *plan) {
    const bp_circuit *circuit = plan->circuit;
    size_t room = 0;
    for (size_t i = 0; i < circuit->n_parts; i++)
        if (circuit->parts[i].kind != &bp_kind_wire)
            room += bp_symbol_pieces(&circuit->parts[i]);
    plan->blocks = calloc(room + 1, sizeof *plan->blocks);
    plan->flags = calloc(circuit->n_points + 1, sizeof *plan->flags);
    if (!plan->blocks || !plan->flags)
        return false;
    plan->battery = BP_NONE;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (part->kind == &bp_kind_wire || (plan->options.left_out && plan->options.left_out[i]))
            continue;
        for (size_t piece = 0; piece < bp_symbol_pieces(part); piece++) {
            if (!piece_is_drawn(part, piece))
                continue;
            bp_block *block = &plan->blocks[plan->n_blocks];
            block->part = i;
            if (!shape_block(plan, block, piece))
                return false;
            if (circuit->feed != BP_NONE && circuit->faces[circuit->feed].part == i)
                plan->battery = plan->n_blocks;
            bp_block_furnish(plan, plan->n_blocks++);
        }
    }
    return true;
}

bool bp_plan_find_pin(const bp_plan *plan, size_t part, size_t pin, bp_end *end) {
    for (size_t b = 0; b < plan->n_blocks; b++) {
        const bp_block *block = &plan->blocks[b];
        if (block->part != part)
            continue;
        for (size_t t = 0; t < block->shape.n_terminals; t++)
            if (block->terminal[t].pin == pin) {
                *end = (bp_end){b, t};
                return true;
            }
    }
    return false;
}
