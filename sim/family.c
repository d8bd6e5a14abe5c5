/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/family.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Voltages and readings that are the same, V (or the reading's unit): a hundredth of the finest
 * display's last digit. */
#define SAME 1e-6

/* Readings of every state in one go, of one fault that can be more or less bad. */
static bool may_have_family(const bp_task *t) {
    return t->faults.n == 1 && isfinite(t->faults.fault[0].severity) && t->state == BP_NONE &&
           t->solve == BP_NONE && !t->acts && t->plan.n_pairs > 0 &&
           !bp_instruments[t->plan.instrument]->from_start;
}

static bool same_number(double a, double b) { return a == b || (isnan(a) && isnan(b)); }

static bool same_fault(const bp_fault *a, const bp_fault *b) {
    return a->part == b->part && a->sub == b->sub && a->mode == b->mode &&
           a->partner == b->partner && a->partner_sub == b->partner_sub && a->when == b->when &&
           same_number(a->when_value, b->when_value);
}

static bool same_conditions(const bp_conditions *a, const bp_conditions *b) {
    return same_number(a->ambient, b->ambient) && same_number(a->engine, b->engine) &&
           same_number(a->supply, b->supply) && a->waited == b->waited;
}

static bool is_relative(const bp_circuit *circuit, const bp_task *a, const bp_task *b) {
    return may_have_family(b) && same_fault(&a->faults.fault[0], &b->faults.fault[0]) &&
           a->ranges == b->ranges && a->moves == b->moves && a->draw == b->draw &&
           same_conditions(&a->conditions, &b->conditions) &&
           memcmp(a->done, b->done, circuit->n_parts * sizeof *a->done) == 0 &&
           bp_plan_equal(&a->plan, &b->plan);
}

size_t bp_family_members(const bp_circuit *circuit, const bp_task *const *task, size_t n) {
    size_t members = 0;
    if (n > 0 && may_have_family(task[0]))
        while (members + 1 < n && is_relative(circuit, task[0], task[members + 1]))
            members++;
    return members;
}

/* The one phase of a state that came to rest, NULL when it is not as simple as that. */
static const bp_phase *plain_phase(const bp_result *r, size_t state) {
    const bp_phase *found = NULL;
    for (size_t i = 0; i < r->n_phases; i++) {
        const bp_phase *p = &r->phase[i];
        if (p->state != state)
            continue;
        if (found || p->sort != BP_PHASE_WHOLE || !p->solved || p->chatter)
            return NULL;
        found = p;
    }
    return found;
}

/* The same relays the same way? */
static bool same_rest(const bp_phase *a, const bp_phase *b, size_t n_parts) {
    return a && b && a->way == b->way &&
           memcmp(a->position, b->position, n_parts * sizeof *a->position) == 0;
}

static bool is_alike(const bp_phase *a, const bp_phase *b, const bp_deck *deck) {
    if (a->n_spreads != b->n_spreads)
        return false;
    for (size_t i = 0; i < deck->n_nodes; i++)
        if (!(fabs(a->volts[i] - b->volts[i]) <= SAME))
            return false;
    for (size_t i = 0; i < deck->plan.n_pairs; i++)
        if (a->raw[i].status != b->raw[i].status ||
            (a->raw[i].status == BP_READING_OK &&
             !(fabs(a->raw[i].value - b->raw[i].value) <= SAME)))
            return false;
    for (size_t i = 0; i < deck->plan.n_pairs * a->n_spreads; i++)
        if (!(fabsf(a->strays[i] - b->strays[i]) <= SAME))
            return false;
    return true;
}

static bool anything_blown(const bp_result *r, size_t n_parts) {
    for (size_t i = 0; i < n_parts; i++)
        if (r->found[i] != 0)
            return true;
    return false;
}

bool bp_family_agree(const bp_deck *deck, const bp_result *least, const bp_result *worst,
                     bp_task *between) {
    const bp_circuit *c = deck->circuit;
    size_t n = 0;
    if (least->status != BP_OK || worst->status != BP_OK ||
        memcmp(least->found, worst->found, c->n_parts * sizeof *least->found) != 0)
        return false;
    for (size_t s = 0; s < c->n_states; s++) {
        const bp_phase *a = plain_phase(least, s), *b = plain_phase(worst, s);
        if (!same_rest(a, b, c->n_parts))
            continue;
        const bool alike = is_alike(a, b, deck);
        between->known[s] = alike ? BP_KNOWN : BP_FORESEEN;
        memcpy(&between->foreseen[s * c->n_parts], a->position, c->n_parts * sizeof *a->position);
        n += alike;
    }
    /* A fuse that blows in one state is blown in all: those between blow it only if they blow it
     * too, so either nothing is left to solve for them or everything is. */
    if (n < c->n_states && anything_blown(least, c->n_parts))
        memset(between->known, BP_UNKNOWN, c->n_states);
    return n == c->n_states;
}

static bool copy_phases(bp_result *to, const bp_result *from, size_t state, const bp_deck *deck) {
    const size_t n_parts = deck->circuit->n_parts;
    for (size_t i = 0; i < from->n_phases; i++) {
        const bp_phase *f = &from->phase[i];
        if (f->state != state)
            continue;
        bp_phase *p = bp_result_add(to, n_parts, deck->n_nodes, deck->plan.n_pairs);
        if (!p)
            return false;
        p->state = f->state;
        p->sort = f->sort;
        p->opened = f->opened;
        p->seconds = f->seconds;
        p->solved = f->solved;
        p->chatter = f->chatter;
        memcpy(p->position, f->position, n_parts * sizeof *p->position);
        memcpy(p->moves, f->moves, n_parts * sizeof *p->moves);
        memcpy(p->volts, f->volts, deck->n_nodes * sizeof *p->volts);
        memcpy(p->raw, f->raw, deck->plan.n_pairs * sizeof *p->raw);
        if (f->n_spreads == 0)
            continue;
        if (!bp_phase_make_strays(p, deck->plan.n_pairs, f->n_spreads))
            return false;
        memcpy(p->strays, f->strays, deck->plan.n_pairs * f->n_spreads * sizeof *p->strays);
    }
    return true;
}

static bool has_state(const bp_result *r, size_t state) {
    for (size_t i = 0; i < r->n_phases; i++)
        if (r->phase[i].state == state)
            return true;
    return false;
}

bool bp_family_fill(bp_result *result, const bp_result *like, const bp_deck *deck,
                    const unsigned char *known) {
    const bp_circuit *c = deck->circuit;
    bp_result whole = {.status = BP_OK};
    bool good = true;
    if (!memchr(known, BP_KNOWN, c->n_states))
        return true; /* nothing was left out */
    for (size_t s = 0; s < c->n_states && good; s++)
        good = copy_phases(&whole, known[s] == BP_KNOWN && !has_state(result, s) ? like : result, s,
                           deck);
    if (good && !result->found) {
        result->found = calloc(c->n_parts + 1, sizeof *result->found);
        good = result->found != NULL;
        if (good)
            memcpy(result->found, like->found, c->n_parts * sizeof *result->found);
    }
    bp_result_drop_phases(result);
    result->phase = whole.phase;
    result->n_phases = whole.n_phases;
    return good;
}
