/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every single fault that a circuit can have, and how bad each can be.
 */
#include "circuits/fault_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"

typedef struct list {
    const bp_circuit *circuit;
    bp_fault_row *rows;
    size_t n;
    bool failed;
} list;

/* True when the rule says something about the fault. */
static bool is_about(const bp_circuit *circuit, const bp_fault_rule *rule, const bp_fault *fault) {
    bool owner = rule->part == fault->part, other = rule->part == fault->partner;
    if (!owner && !other)
        return false;
    /* A rule about single pins that names none is about each of them. */
    if (rule->sub != BP_NONE && rule->sub != fault->sub &&
        !(rule->partner_sub == BP_NONE && rule->sub == fault->partner_sub))
        return false;
    if (rule->mode >= 0) {
        const bp_part *part = &circuit->parts[rule->part];
        const bp_mode_decl *said = &bp_fault_modes(part, rule->sub)[rule->mode];
        const bp_mode_decl *is = bp_fault_mode(circuit, fault);
        /* Not the same declaration: that of a short's other wire is of another table. */
        if (said->scope != is->scope || strcmp(said->id, is->id) != 0)
            return false;
    }
    if (rule->partner != BP_NONE && rule->partner != (owner ? fault->partner : fault->part))
        return false;
    return rule->partner_sub == BP_NONE || rule->partner_sub == fault->partner_sub ||
           rule->partner_sub == fault->sub;
}

static void apply_rules(const bp_circuit *circuit, bp_fault_row *row) {
    char why[8];
    for (size_t i = 0; i < circuit->n_rules; i++) {
        const bp_fault_rule *rule = &circuit->rules[i];
        if (!is_about(circuit, rule, &row->fault))
            continue;
        if (!isnan(rule->weight))
            row->weight *= rule->weight;
        if (!isnan(rule->how_bad) && !isnan(row->fault.severity))
            row->fault.severity = rule->how_bad;
        if (rule->note)
            row->note = rule->note;
        if (rule->when) /* it was read once without a mistake */
            (void)bp_fault_parse_when(rule->when, &row->fault, why, sizeof why);
    }
}

static void add(list *l, bp_fault fault) {
    const bp_mode_decl *mode = bp_fault_mode(l->circuit, &fault);
    bp_fault_row *room = bp_room(l->rows, l->n, sizeof *room);
    if (!room) {
        l->failed = true;
        return;
    }
    l->rows = room;
    fault.severity = mode->scale == BP_SCALE_NONE ? NAN : mode->typical;
    fault.when = BP_ALWAYS;
    fault.when_value = NAN;
    room[l->n] = (bp_fault_row){.fault = fault, .weight = mode->weight};
    apply_rules(l->circuit, &room[l->n]);
    l->n++;
}

/* Shorts of a wire to those of its neighbours that come after it: each pair once. */
static void add_neighbours(list *l, bp_fault fault) {
    for (size_t i = fault.part + 1; i < l->circuit->n_parts && !l->failed; i++)
        if (bp_wires_are_neighbours(l->circuit, fault.part, i)) {
            fault.partner = i;
            add(l, fault);
        }
}

static void add_mode(list *l, const bp_part *part, int index) {
    const bp_mode_decl *mode = &bp_fault_modes(part, BP_NONE)[index];
    bp_fault fault = {.part = part->index,
                      .sub = BP_NONE,
                      .mode = index,
                      .partner = BP_NONE,
                      .partner_sub = BP_NONE};
    if (mode->applies && !mode->applies(part))
        return;
    if (mode->scope == BP_SCOPE_PART) {
        if (mode->partner == BP_PARTNER_WIRE)
            add_neighbours(l, fault);
        else
            add(l, fault);
        return;
    }
    size_t n = bp_fault_n_cavities(part);
    for (size_t i = 0; i < n && !l->failed; i++) {
        fault.sub = i;
        if (mode->partner == BP_PARTNER_CAVITY) {
            if (i + 1 == n)
                break;
            fault.partner_sub = i + 1;
        }
        add(l, fault);
    }
}

static void add_pins(list *l, const bp_part *part) {
    /* A pin without a wire carries nothing: whether its contact is good makes no difference. */
    for (size_t i = 0; i < part->n_pins; i++)
        for (int mode = BP_PIN_OPEN;
             bp_fault_pin_fails(part, i) && part->pins[i].n_wires > 0 && mode <= BP_PIN_SPREAD;
             mode++)
            add(l, (bp_fault){.part = part->index,
                              .sub = i,
                              .mode = mode,
                              .partner = BP_NONE,
                              .partner_sub = BP_NONE});
}

bp_status bp_fault_list(const bp_circuit *circuit, bp_fault_row **rows, size_t *n) {
    list l = {.circuit = circuit};
    for (size_t i = 0; i < circuit->n_parts && !l.failed; i++) {
        const bp_part *part = &circuit->parts[i];
        for (int k = 0; part->kind->modes && part->kind->modes[k].id; k++)
            add_mode(&l, part, k);
        add_pins(&l, part);
    }
    if (l.failed) {
        free(l.rows);
        l.rows = NULL;
        l.n = 0;
    }
    *rows = l.rows;
    *n = l.n;
    return l.failed ? BP_ERR_MEMORY : BP_OK;
}

/* A kind's range is tried in so many steps, at the ends of which the typical value joins; one that
 * was fitted to a part in steps as fine, which stand where those of its kind do. */
enum { STEPS = 8, MOST_STEPS = BP_FAULT_MOST_GRID - 1 };

static double on_scale(const bp_mode_decl *mode, double severity) {
    return mode->scale == BP_SCALE_LOG ? log(severity) : severity;
}

/* From one severity to the next, on the mode's scale. */
static double step_of(const bp_circuit *circuit, const bp_fault *fault) {
    const bp_part *part = &circuit->parts[fault->part];
    const bp_mode_decl *mode = bp_fault_mode(circuit, fault);
    if (part->modes && mode == &part->modes[fault->mode])
        mode = &part->kind->modes[fault->mode];
    return (on_scale(mode, mode->hi) - on_scale(mode, mode->lo)) / STEPS;
}

size_t bp_fault_grid(const bp_circuit *circuit, const bp_fault *fault, double *grid) {
    const bp_mode_decl *mode = bp_fault_mode(circuit, fault);
    grid[0] = NAN;
    if (mode->scale == BP_SCALE_NONE)
        return 1;
    const double lo = on_scale(mode, mode->lo), hi = on_scale(mode, mode->hi);
    const double step = step_of(circuit, fault);
    const size_t steps = (size_t)fmin(fmax(floor((hi - lo) / step + 0.5), 2), MOST_STEPS);
    const double typical = isnan(fault->severity) ? mode->typical : fault->severity;
    const double place = (double)steps - (hi - on_scale(mode, typical)) / step;
    /* The grid point next to the typical value gives way to it, but the ends of the range stay. */
    const size_t nearest = (size_t)fmin(fmax(floor(place + 0.5), 1), (double)steps - 1);
    const bool at_end = typical <= mode->lo || typical >= mode->hi;
    grid[0] = mode->lo;
    for (size_t i = 1; i < steps; i++) {
        const double at = hi - step * (double)(steps - i);
        grid[i] = i == nearest && !at_end ? typical : mode->scale == BP_SCALE_LOG ? exp(at) : at;
    }
    grid[steps] = mode->hi;
    return steps + 1;
}
