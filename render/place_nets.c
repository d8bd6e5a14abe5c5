/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The lines to draw: wires between pins, wires on the feed rail, joints of pins that are one, and
 * the battery's own lines to its rails.
 */
#include <stdlib.h>

#include "render/place.h"

static bool is_block_pin(const bp_plan *plan, const bp_end *end, const char *name) {
    const bp_part *part = bp_block_part(plan, end->block);
    size_t pin = plan->blocks[end->block].terminal[end->terminal].pin;
    const char *is = part->pins[pin].name;
    return is[0] == name[0] && is[1] == '\0';
}

/* A wire's end: the pin it ends on, or the rail that stands for the battery's post. */
static bool find_end(const bp_plan *plan, size_t face, bp_end *end) {
    const bp_face *f = &plan->circuit->faces[face];
    if (!bp_plan_find_pin(plan, f->part, f->pin, end))
        return false;
    if (end->block != plan->battery)
        return true;
    if (is_block_pin(plan, end, "+"))
        end->block = BP_RAIL_TOP;
    else if (plan->bottom_rail)
        end->block = BP_RAIL_BOTTOM;
    return true;
}

static void add_net(bp_plan *plan, size_t part, bp_end a, bp_end b) {
    plan->nets[plan->n_nets++] = (bp_net){part, {a, b}};
}

static void add_risers(bp_plan *plan) {
    if (plan->battery == BP_NONE)
        return;
    const bp_block *block = &plan->blocks[plan->battery];
    for (size_t t = 0; t < block->shape.n_terminals; t++) {
        bp_end end = {plan->battery, t};
        bool plus = is_block_pin(plan, &end, "+");
        bool bonded = plan->circuit->ideal_bond && plan->circuit->body != BP_NONE;
        if (plus)
            add_net(plan, BP_NONE, end, (bp_end){BP_RAIL_TOP, 0});
        else if (plan->bottom_rail || bonded)
            add_net(plan, BP_NONE, end, (bp_end){BP_RAIL_BOTTOM, 0});
    }
}

/* Pins that `joins` made one are tied together, each to the next. */
static void add_joints(bp_plan *plan) {
    const bp_circuit *circuit = plan->circuit;
    for (size_t b = 0; b < plan->n_blocks; b++)
        for (size_t t = 0; t < plan->blocks[b].shape.n_terminals; t++) {
            const bp_part *part = bp_block_part(plan, b);
            size_t node = circuit->faces[part->pins[plan->blocks[b].terminal[t].pin].harness].node;
            bool found = false;
            for (size_t c = b; c < plan->n_blocks && !found; c++)
                for (size_t u = c == b ? t + 1 : 0; u < plan->blocks[c].shape.n_terminals; u++) {
                    const bp_part *other = bp_block_part(plan, c);
                    size_t pin = plan->blocks[c].terminal[u].pin;
                    if (circuit->faces[other->pins[pin].harness].node != node)
                        continue;
                    add_net(plan, BP_NONE, (bp_end){b, t}, (bp_end){c, u});
                    found = true;
                    break;
                }
        }
}

bool bp_plan_nets(bp_plan *plan) {
    const bp_circuit *circuit = plan->circuit;
    size_t terminals = 0;
    bool grounds = false;
    for (size_t b = 0; b < plan->n_blocks; b++) {
        terminals += plan->blocks[b].shape.n_terminals;
        grounds = grounds || bp_block_part(plan, b)->kind == &bp_kind_ground;
    }
    plan->bottom_rail = !grounds;
    plan->nets = calloc(circuit->n_parts + terminals + 3, sizeof *plan->nets);
    if (!plan->nets)
        return false;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        bp_end a, b;
        if (part->kind == &bp_kind_wire && part->n_pins == 2 &&
            find_end(plan, part->pins[0].harness, &a) && find_end(plan, part->pins[1].harness, &b))
            add_net(plan, i, a, b);
    }
    add_risers(plan);
    add_joints(plan);
    return true;
}
