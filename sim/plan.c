/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "sim/build.h"
#include "sim/model.h"

static bool same(const size_t (*a)[2], size_t na, const size_t (*b)[2], size_t nb) {
    return na == nb && (na == 0 || memcmp(a, b, na * sizeof *a) == 0);
}

bool bp_plan_equal(const bp_plan *a, const bp_plan *b) {
    return a->instrument == b->instrument &&
           same((const size_t(*)[2])a->pair, a->n_pairs, (const size_t(*)[2])b->pair, b->n_pairs) &&
           a->n_leads == b->n_leads &&
           (a->n_leads == 0 || memcmp(a->lead, b->lead, a->n_leads * sizeof *a->lead) == 0) &&
           a->in_time == b->in_time && a->afloat == b->afloat &&
           same((const size_t(*)[2])a->probe, a->n_probes, (const size_t(*)[2])b->probe,
                b->n_probes) &&
           a->n_wires == b->n_wires &&
           (a->n_wires == 0 || memcmp(a->wire, b->wire, a->n_wires * sizeof *a->wire) == 0);
}

bool bp_plan_copy(bp_plan *to, const bp_plan *from) {
    *to = *from;
    to->pair = calloc(from->n_pairs + 1, sizeof *to->pair);
    to->lead = calloc(from->n_leads + 1, sizeof *to->lead);
    to->wire = calloc(from->n_wires + 1, sizeof *to->wire);
    to->probe = calloc(from->n_probes + 1, sizeof *to->probe);
    if (!to->pair || !to->lead || !to->wire || !to->probe) {
        bp_plan_clear(to);
        return false;
    }
    if (from->n_pairs)
        memcpy(to->pair, from->pair, from->n_pairs * sizeof *to->pair);
    if (from->n_leads)
        memcpy(to->lead, from->lead, from->n_leads * sizeof *to->lead);
    if (from->n_wires)
        memcpy(to->wire, from->wire, from->n_wires * sizeof *to->wire);
    if (from->n_probes)
        memcpy(to->probe, from->probe, from->n_probes * sizeof *to->probe);
    return true;
}

void bp_plan_clear(bp_plan *plan) {
    free(plan->pair);
    free(plan->lead);
    free(plan->wire);
    free(plan->probe);
    *plan = (bp_plan){0};
}

bool bp_plan_has_wire(const bp_plan *plan, size_t wire) {
    for (size_t i = 0; i < plan->n_wires; i++)
        if (plan->wire[i] == wire)
            return true;
    return false;
}

static bool add_wire(bp_plan *plan, size_t wire) {
    if (bp_plan_has_wire(plan, wire))
        return true;
    size_t *more = realloc(plan->wire, (plan->n_wires + 1) * sizeof *more);
    if (!more)
        return false;
    plan->wire = more;
    size_t at = plan->n_wires++;
    for (; at > 0 && more[at - 1] > wire; at--)
        more[at] = more[at - 1];
    more[at] = wire;
    return true;
}

bool bp_plan_add_clamped(bp_plan *plan, const bp_circuit *circuit, size_t wire) {
    return !bp_wire_is_ideal(&circuit->parts[wire]) || add_wire(plan, wire);
}

bool bp_plan_add_faults(bp_plan *plan, const bp_circuit *circuit, const bp_fault_case *faults) {
    bool good = true;
    for (size_t i = 0; i < faults->n && good; i++) {
        const bp_fault *f = &faults->fault[i];
        if (circuit->parts[f->part].kind != &bp_kind_wire)
            continue;
        const bool far =
            f->partner != BP_NONE && !bp_wires_are_neighbours(circuit, f->part, f->partner);
        if (far || bp_wire_is_ideal(&circuit->parts[f->part]))
            good = add_wire(plan, f->part);
        if (good && far)
            good = add_wire(plan, f->partner);
    }
    return good;
}
