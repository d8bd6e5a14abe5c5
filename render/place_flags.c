/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the tags of a part's points hang, and how far the part reaches with them. A tag hangs
 * beside the wire's straight stub, clear of the symbol and of its name: to the left at the leftmost
 * of several terminals, else to the right.
 */
#include <math.h>

#include "render/place.h"
#include "render/tags.h"

#define CLEAR 0.2 /* cells between a tag and what is next to it */

static bool hangs_left(const bp_block *block, size_t terminal) {
    const bp_terminal *t = &block->terminal[terminal];
    bool leftmost = true, alone = true;
    for (size_t i = 0; i < block->shape.n_terminals; i++) {
        if (i == terminal || block->terminal[i].side != t->side)
            continue;
        alone = false;
        leftmost = leftmost && t->x < block->terminal[i].x;
    }
    return leftmost && !alone;
}

static bool columns_meet(const bp_box *a, double x, double w) {
    return x < a->x + a->w + CLEAR && a->x < x + w + CLEAR;
}

/* Tops and bottoms that tags on one side have reached. */
typedef struct bp_stack {
    double top[2], low[2]; /* by side: right, left */
} bp_stack;

/* The tag's centre line above (or below) the body, past the name and earlier tags. */
static double centre_line(const bp_block *block, const bp_flag *flag, bool up, double ideal,
                          bp_stack *stack) {
    double half = flag->tag.h / 2;
    bool over_body = flag->left ? flag->tag.x + flag->tag.w > 0.3 : flag->tag.x < block->w - 0.3;
    bool over_name = block->name.w > 0 && columns_meet(&block->name, flag->tag.x, flag->tag.w);
    double y = ideal;
    if (up) {
        if (over_body)
            y = fmin(y, -half - 0.1);
        if (over_name)
            y = fmin(y, block->name.y - half - CLEAR);
        y = fmin(y, block->h / 2 - half - CLEAR / 2);
        y = fmin(y, stack->top[flag->left] - half - CLEAR);
        stack->top[flag->left] = y - half;
    } else {
        if (over_body)
            y = fmax(y, block->h + half + 0.1);
        if (over_name)
            y = fmax(y, block->name.y + block->name.h + half + CLEAR);
        y = fmax(y, block->h / 2 + half + CLEAR / 2);
        y = fmax(y, stack->low[flag->left] + half + CLEAR);
        stack->low[flag->left] = y + half;
    }
    return y;
}

/* A tag at a terminal that points up or down. */
static void hang(bp_block *block, size_t terminal, bool inner, bp_flag *flag, double leader,
                 bp_stack *stack) {
    const bp_terminal *t = &block->terminal[terminal];
    bool up = t->side == BP_TOP;
    flag->left = hangs_left(block, terminal);
    double beside = flag->left ? t->x : block->w - t->x;
    if (beside <= 2.2) /* a narrow body: the tag may hang beside it */
        leader = fmax(leader, beside + 0.1);
    flag->tag.x = flag->left ? t->x - leader - flag->tag.w : t->x + leader;
    flag->ring_x = t->x;
    double out = inner ? -0.45 : 0.75;
    double ideal = up ? t->y - out : t->y + out;
    double y = centre_line(block, flag, up, ideal, stack);
    flag->tag.y = y - flag->tag.h / 2;
    /* The ring goes along with its tag, but for one on the part's own side. */
    flag->ring_y = inner ? ideal : up ? fmin(y, ideal) : fmax(y, ideal);
    bool beside_body = !inner && flag->ring_y != y;
    if (beside_body) /* the leader slants a little rather than push all apart */
        flag->ring_y = ideal;
    double reach = inner ? 0 : fabs(flag->ring_y - t->y) + 0.6;
    if (reach > block->stub[terminal])
        block->stub[terminal] = (int)ceil(reach);
}

/* A tag at a terminal of a turned symbol: over the wire. */
static void hang_over(bp_block *block, size_t terminal, bp_flag *flag, double leader) {
    const bp_terminal *t = &block->terminal[terminal];
    bool left = t->side == BP_LEFT_SIDE;
    flag->ring_x = t->x + (left ? -1 : 1);
    flag->ring_y = t->y;
    flag->left = left;
    flag->tag.x = left ? flag->ring_x - flag->tag.w + 0.5 : flag->ring_x - 0.5;
    flag->tag.y = t->y - leader - flag->tag.h;
    block->stub[terminal] = 2;
}

/* A tag at a splice's dot. */
static void hang_beside(bp_block *block, bp_flag *flag, double leader, bp_stack *stack) {
    flag->ring_x = flag->ring_y = 1;
    flag->tag.x = 1 + leader;
    double y = fmax(1, stack->low[0] + flag->tag.h / 2);
    flag->tag.y = y - flag->tag.h / 2;
    stack->low[0] = y + flag->tag.h / 2;
    (void)block;
}

static void grow(bp_block *block, const bp_box *box) {
    block->left = fmax(block->left, -box->x);
    block->right = fmax(block->right, box->x + box->w);
    block->above = fmax(block->above, -box->y);
    block->below = fmax(block->below, box->y + box->h);
}

static void find_reach(bp_plan *plan, size_t index) {
    bp_block *block = &plan->blocks[index];
    grow(block, &(bp_box){0, 0, block->w, block->h});
    if (block->name.w > 0)
        grow(block, &block->name);
    for (size_t i = 0; i < plan->n_flags; i++)
        if (plan->flags[i].block == index)
            grow(block, &plan->flags[i].tag);
    for (size_t i = 0; i < block->shape.n_terminals; i++) {
        const bp_terminal *t = &block->terminal[i];
        double s = block->stub[i];
        if (t->side == BP_TOP)
            grow(block, &(bp_box){t->x, t->y - s, 0, s});
        else if (t->side == BP_BOTTOM)
            grow(block, &(bp_box){t->x, t->y, 0, s});
        else
            grow(block, &(bp_box){t->side == BP_LEFT_SIDE ? t->x - s : t->x, t->y, s, 0});
    }
    block->left = ceil(block->left + 0.1);
    block->right = ceil(block->right + 0.1);
    block->above = ceil(block->above);
    block->below = ceil(block->below);
}

void bp_block_furnish(bp_plan *plan, size_t index) {
    bp_block *block = &plan->blocks[index];
    const bp_part *part = bp_block_part(plan, index);
    const bp_circuit *circuit = plan->circuit;
    double leader = bp_plan_cells(plan, 3.4 * BP_RING);
    bp_stack stack = {{1e9, 1e9}, {-1e9, -1e9}};
    bool splice = part->kind == &bp_kind_splice;
    for (size_t i = 0; i < block->shape.n_terminals; i++)
        block->stub[i] = splice ? 0 : 1;
    for (size_t i = 0; i < block->shape.n_terminals; i++)
        for (size_t p = 0; p < circuit->n_points; p++) {
            const size_t pin = block->terminal[i].pin;
            const bp_point *point = &circuit->points[p];
            /* Joined pins have the faces of one of them: the tag hangs there, and once. */
            const bp_face *face = &circuit->faces[point->face];
            if (face->part != block->part || face->pin != pin)
                continue;
            bool inner = point->face != part->pins[pin].harness;
            bp_flag *flag = &plan->flags[plan->n_flags++];
            bp_box size = bp_tag_size(plan->measure, point, &plan->options.tags);
            *flag = (bp_flag){.point = p, .block = index, .quiet = point->automatic};
            flag->tag.w = bp_plan_cells(plan, size.w);
            flag->tag.h = bp_plan_cells(plan, size.h);
            if (splice)
                hang_beside(block, flag, leader, &stack);
            else if (block->terminal[i].side == BP_TOP || block->terminal[i].side == BP_BOTTOM)
                hang(block, i, inner, flag, leader, &stack);
            else
                hang_over(block, i, flag, leader);
        }
    find_reach(plan, index);
}
