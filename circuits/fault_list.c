/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every single fault that a circuit can have, and how bad each can be.
 */
#include "circuits/fault_parts.h"

#include <math.h>
#include <stdlib.h>

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
        if (said != bp_fault_mode(circuit, fault))
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
    const bp_mode_decl *mode = &part->kind->modes[index];
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

/* How many severities are tried over a mode's range (about 9, which the typical one joins). */
enum { GRID = 9 };

size_t bp_fault_grid(const bp_circuit *circuit, const bp_fault *fault, double *grid) {
    const bp_mode_decl *mode = bp_fault_mode(circuit, fault);
    grid[0] = NAN;
    if (mode->scale == BP_SCALE_NONE)
        return 1;
    bool logs = mode->scale == BP_SCALE_LOG;
    double lo = logs ? log(mode->lo) : mode->lo, hi = logs ? log(mode->hi) : mode->hi;
    double typical = isnan(fault->severity) ? mode->typical : fault->severity;
    double place = ((logs ? log(typical) : typical) - lo) / (hi - lo) * (GRID - 1);
    size_t n = 0;
    /* The grid point next to the typical value gives way to it, but the ends of the range stay. */
    size_t nearest = (size_t)fmin(fmax(floor(place + 0.5), 1), GRID - 2);
    bool at_end = place < 1e-9 || place > GRID - 1 - 1e-9;
    for (size_t i = 0; i < GRID; i++) {
        double at = lo + (hi - lo) * (double)i / (GRID - 1);
        if (i == 0 || i == GRID - 1)
            grid[n++] = i == 0 ? mode->lo : mode->hi;
        else if (i == nearest && !at_end)
            grid[n++] = typical;
        else
            grid[n++] = logs ? exp(at) : at;
    }
    return n;
}
