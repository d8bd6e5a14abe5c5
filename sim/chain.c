/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A state is reached through the states it is entered from, with faults and actions in place from
 * the start of that chain, so that a relay's hysteresis is real. A fuse that blows in any declared
 * state is blown in all: that is the vehicle as it is found. A fuse that opens in minutes splits
 * its state in two.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/bench.h"

/* Slow fuses that open one after the other in one state. */
enum { MOST_SLOW = 4 };

typedef struct walk {
    bp_bench *b;
    const bp_task *task;
    bp_result *result;
    int *start;   /* by part: lasting positions at the start of every chain */
    int *settled; /* n_states + 1 rows: positions in which a state settled; the last row: everything
                     released */
    bool *known;  /* by the same rows */
    unsigned char *slow; /* n_states rows by part: opened slowly in this very state */
} walk;

static size_t n_parts(const walk *w) { return w->b->circuit->n_parts; }

static bool is_lasting(const walk *w, size_t part) {
    return bp_part_lasts(&w->b->circuit->parts[part]);
}

static bool walk_init(walk *w, bp_bench *b, const bp_task *task, bp_result *result) {
    const size_t n = b->circuit->n_parts, rows = b->circuit->n_states + 1;
    *w = (walk){.b = b, .task = task, .result = result};
    w->start = calloc(n + 1, sizeof *w->start);
    w->settled = calloc(rows * n + 1, sizeof *w->settled);
    w->known = calloc(rows, sizeof *w->known);
    w->slow = calloc(rows * n + 1, sizeof *w->slow);
    result->found = calloc(n + 1, sizeof *result->found);
    return w->start && w->settled && w->known && w->slow && result->found;
}

static void walk_clear(walk *w) {
    free(w->start);
    free(w->settled);
    free(w->known);
    free(w->slow);
}

static void forget(walk *w) {
    memset(w->known, 0, (w->b->circuit->n_states + 1) * sizeof *w->known);
}

/* All chains begin from these lasting positions; what is known of chains that began otherwise is
 * forgotten. */
static void begin_from(walk *w, const int *start) {
    if (memcmp(w->start, start, n_parts(w) * sizeof *start) == 0)
        return;
    memcpy(w->start, start, n_parts(w) * sizeof *start);
    forget(w);
}

static void enter(walk *w, size_t row) {
    const size_t state = row == w->b->circuit->n_states ? BP_NONE : row;
    bp_case_enter(w->b->c, state, &w->task->conditions);
    bp_case_values(w->b->c, w->b->rig.values);
}

static double lasts(const walk *w, size_t row) {
    return row == w->b->circuit->n_states ? NAN : w->b->circuit->states[row].lasts;
}

static bool is_slow(const bp_settled *settled) {
    return settled->rest == BP_REST_FOUND && settled->slow != BP_NONE;
}

/* Does the slow part open at all? Who waited for so long and no longer sees only what opens by
 * then; else it is seen in time. */
static bool opens_in_time(const walk *w, const bp_settled *settled) {
    const double waited = w->task->conditions.waited;
    return !(waited > 0) || settled->slow_seconds <= waited;
}

/* Moves the slow part of a settled state; true when there was one. */
static bool open_slow(walk *w, const bp_settled *settled) {
    if (!is_slow(settled))
        return false;
    w->b->c->position[settled->slow] = settled->slow_position;
    bp_case_part_values(w->b->c, settled->slow, w->b->rig.values);
    return true;
}

static bool approach(walk *w, size_t row);

/* Goes to a state and on to where it ends for good. */
static bool arrive(walk *w, size_t row) {
    int *kept = &w->settled[row * n_parts(w)];
    if (w->known[row]) {
        memcpy(w->b->c->position, kept, n_parts(w) * sizeof *kept);
        return true;
    }
    if (!approach(w, row))
        return false;
    bool more = true;
    for (int i = 0; more && i <= MOST_SLOW; i++) {
        bp_settled settled = bp_settle(w->b->c, &w->b->rig, lasts(w, row));
        const bool lost = settled.rest == BP_REST_NO_MEMORY || bp_session_lost(w->b->rig.session);
        more = open_slow(w, &settled);
        if (more && row < w->b->circuit->n_states)
            w->slow[row * n_parts(w) + settled.slow] = 1;
        bp_settled_clear(&settled);
        if (lost)
            return false;
    }
    memcpy(kept, w->b->c->position, n_parts(w) * sizeof *kept);
    w->known[row] = true;
    return true;
}

/* Everything as the state before leaves it, and the state's own settings in place: ready to settle.
 */
static bool approach(walk *w, size_t row) {
    const bp_circuit *c = w->b->circuit;
    const size_t released = c->n_states;
    size_t before = row == released ? BP_NONE : c->states[row].from;
    /* A state that is entered from everything released and is just that needs no other before it.
     */
    if (row != released && before == BP_NONE &&
        (c->states[row].n_settings > 0 || c->states[row].supply != BP_SUPPLY_REST))
        before = released;
    if (before == BP_NONE)
        memcpy(w->b->c->position, w->start, n_parts(w) * sizeof *w->start);
    else if (!arrive(w, before))
        return false;
    enter(w, row);
    return true;
}

/* One phase of a state as it stands. */
static bp_phase *add_phase(walk *w, size_t state, const bp_settled *settled) {
    const bp_bench *b = w->b;
    bp_phase *p = bp_result_add(w->result, n_parts(w), b->deck->n_nodes, b->deck->plan.n_pairs);
    if (!p)
        return NULL;
    p->state = state;
    p->seconds = NAN;
    p->solved = settled->rest == BP_REST_FOUND || settled->rest == BP_REST_CHATTER;
    p->chatter = settled->rest == BP_REST_CHATTER;
    p->way = settled->way;
    memcpy(p->position, b->c->position, n_parts(w) * sizeof *p->position);
    if (p->solved)
        memcpy(p->volts, b->rig.volts, b->deck->n_nodes * sizeof *p->volts);
    else
        strncpy(w->result->why, bp_session_why(b->rig.session), sizeof w->result->why - 1);
    for (size_t k = 1; k < settled->n_loop; k++)
        for (size_t i = 0; i < n_parts(w); i++)
            p->moves[i] |= settled->loop[k * n_parts(w) + i] != settled->loop[i];
    return p;
}

/* The whole solution with the meter on one pair, for those who check it by other means. */
static bool keep_solution(walk *w, bp_phase *p, double state_lasts) {
    bp_bench *b = w->b;
    bp_bench_connect(b, w->task->solve < b->deck->plan.n_pairs ? w->task->solve : BP_NONE);
    bp_settled settled = bp_settle(b->c, &b->rig, state_lasts);
    p->chatter = settled.rest == BP_REST_CHATTER;
    p->solved = p->chatter || settled.rest == BP_REST_FOUND;
    bp_settled_clear(&settled);
    if (p->solved && w->task->fresh)
        p->solved = bp_session_load(b->rig.session, b->deck, b->rig.values) &&
                    bp_session_solve(b->rig.session, b->rig.values, b->rig.volts);
    memcpy(p->position, b->c->position, n_parts(w) * sizeof *p->position);
    if (p->solved)
        memcpy(p->volts, b->rig.volts, b->deck->n_nodes * sizeof *p->volts);
    else
        strncpy(w->result->why, bp_session_why(b->rig.session), sizeof w->result->why - 1);
    free(w->result->values);
    w->result->values = malloc((b->deck->n_values + 1) * sizeof *w->result->values);
    if (!w->result->values)
        return false;
    w->result->n_values = b->deck->n_values;
    memcpy(w->result->values, b->rig.values, b->deck->n_values * sizeof *b->rig.values);
    bp_bench_connect(b, BP_NONE);
    return true;
}

/* Is the meter part of the circuit from the start? */
static bool in_line(const bp_task *task) {
    return task->plan.n_pairs > 0 && bp_instruments[task->plan.instrument]->from_start;
}

/* By how much the readings just taken move, when that is asked for; of all pairs or of one. */
static bool read_strays(walk *w, bp_phase *p, const bp_settled *settled, size_t pair) {
    if (!w->task->moves || settled->rest != BP_REST_FOUND)
        return true;
    if (!p->strays && !bp_phase_make_strays(p, w->b->deck->plan.n_pairs, w->b->c->n_spreads))
        return false;
    return bp_find_strays(w->b, p->raw, pair, lasts(w, p->state), p->strays);
}

static bool read_phase(walk *w, bp_phase *p, const bp_settled *settled, size_t pair) {
    const double state_lasts = lasts(w, p->state);
    if (w->task->solve != BP_NONE)
        return keep_solution(w, p, state_lasts);
    if (pair != BP_NONE)
        return bp_take_reading(w->b, settled, pair, w->task->ranges, p->raw) &&
               read_strays(w, p, settled, pair);
    if (in_line(w->task))
        return true; /* each pair has a visit of its own */
    return bp_take_readings(w->b, settled, state_lasts, w->task->ranges, p->raw) &&
           read_strays(w, p, settled, BP_NONE);
}

/* What the task knows of where states settle, as long as every chain begins with nothing blown. */
static void foresee(walk *w) {
    const bp_circuit *c = w->b->circuit;
    for (size_t s = 0; s < c->n_states; s++)
        w->known[s] = w->task->known[s] != BP_UNKNOWN;
    memcpy(w->settled, w->task->foreseen, c->n_states * c->n_parts * sizeof *w->settled);
}

/* A state of which is known where it settles is solved there. False: nothing is known, or nothing
 * rests there after all; then nothing that was foreseen counts any more. */
static bool settle_as_foreseen(walk *w, size_t state, bp_settled *settled) {
    if (w->task->known[state] != BP_FORESEEN || !w->known[state])
        return false;
    arrive(w, state);
    enter(w, state);
    *settled = bp_settle(w->b->c, &w->b->rig, lasts(w, state));
    if (settled->rest == BP_REST_FOUND && settled->moves == 0 && settled->slow == BP_NONE)
        return true;
    bp_settled_clear(settled);
    forget(w);
    return false;
}

static bool settle_first(walk *w, size_t state, bp_settled *settled) {
    if (settle_as_foreseen(w, state, settled))
        return true;
    if (!approach(w, state))
        return false;
    *settled = bp_settle(w->b->c, &w->b->rig, lasts(w, state));
    return true;
}

/* Settles a state and reports its phases. `base`: the phases are there already (from a visit
 * without the meter) and only this pair's readings are filled in; BP_NONE: they are added. */
static bool visit(walk *w, size_t state, size_t pair, size_t base) {
    bp_settled settled;
    if (!settle_first(w, state, &settled))
        return false;
    size_t opened = BP_NONE, n = 0;
    bool good = true, more = true;
    for (size_t i = 0; more && good && i <= MOST_SLOW; i++) {
        if (i > 0)
            settled = bp_settle(w->b->c, &w->b->rig, lasts(w, state));
        good = settled.rest != BP_REST_NO_MEMORY && !bp_session_lost(w->b->rig.session);
        const bool slow = is_slow(&settled) && opens_in_time(w, &settled);
        const bool over = slow && w->task->conditions.waited > 0; /* before anything is read */
        bp_phase *p = NULL;
        if (good && !over && base == BP_NONE) {
            p = add_phase(w, state, &settled);
            good = p != NULL;
        } else if (good && !over && base + n < w->result->n_phases)
            p = &w->result->phase[base + n];
        n += !over;
        if (p && base == BP_NONE && (slow || opened != BP_NONE)) {
            p->sort = opened != BP_NONE ? BP_PHASE_AFTER : BP_PHASE_BEFORE;
            p->opened = opened != BP_NONE ? opened : settled.slow;
            p->seconds = slow ? settled.slow_seconds : NAN;
        }
        good = good && (!p || read_phase(w, p, &settled, pair));
        more = good && opens_in_time(w, &settled) && open_slow(w, &settled);
        if (more) {
            opened = settled.slow;
            w->slow[state * n_parts(w) + opened] = 1;
        }
        bp_settled_clear(&settled);
    }
    if (good) {
        memcpy(&w->settled[state * n_parts(w)], w->b->c->position, n_parts(w) * sizeof *w->settled);
        w->known[state] = true;
    }
    return good;
}

/* An ammeter is part of the circuit from the start: one chain for each pair. With a single pair the
 * state itself is that with the meter in place. */
/* A meter whose fuse blew leaves its circuit at once: what stays is the state without it. */
static bool visit_after_meter(walk *w, size_t state, size_t base) {
    bp_raw blown = {.status = BP_READING_OK};
    for (size_t i = base; i < w->result->n_phases; i++)
        if (w->result->phase[i].raw[0].why == BP_WHY_METER_FUSE)
            blown = w->result->phase[i].raw[0];
    if (blown.status == BP_READING_OK)
        return true;
    bp_result_cut(w->result, base);
    forget(w);
    bp_bench_connect(w->b, BP_NONE);
    bool good = visit(w, state, BP_NONE, BP_NONE);
    for (size_t i = base; good && i < w->result->n_phases; i++)
        w->result->phase[i].raw[0] = blown;
    return good;
}

static bool visit_with_meter(walk *w, size_t state) {
    const size_t n_pairs = w->b->deck->plan.n_pairs;
    const size_t base = w->result->n_phases;
    if (n_pairs > 1 && !visit(w, state, BP_NONE, BP_NONE))
        return false;
    for (size_t i = 0; i < n_pairs; i++) {
        forget(w);
        bp_bench_connect(w->b, i);
        if (!visit(w, state, i, n_pairs == 1 ? BP_NONE : base))
            return false;
    }
    if (n_pairs == 1 && !visit_after_meter(w, state, base))
        return false;
    bp_bench_connect(w->b, BP_NONE);
    forget(w);
    return true;
}

static bool visit_any(walk *w, size_t state) {
    return in_line(w->task) && w->task->solve == BP_NONE ? visit_with_meter(w, state)
                                                         : visit(w, state, BP_NONE, BP_NONE);
}

/* Adds the lasting positions in which a state ended to those of the vehicle as found. */
static void gather(walk *w, size_t state) {
    for (size_t i = 0; i < n_parts(w); i++)
        if (is_lasting(w, i) && w->settled[state * n_parts(w) + i] != 0)
            w->result->found[i] = w->settled[state * n_parts(w) + i];
}

/* Nothing done yet, no meter: which fuses are blown when the vehicle comes in? */
static bool look_as_found(walk *w) {
    w->b->c->as_found = true;
    memset(w->b->c->done, 0, n_parts(w) * sizeof *w->b->c->done);
    bool good = true;
    for (size_t s = 0; s < w->b->circuit->n_states && good; s++) {
        good = arrive(w, s);
        if (good)
            gather(w, s);
    }
    w->b->c->as_found = false;
    memcpy(w->b->c->done, w->task->done, n_parts(w) * sizeof *w->b->c->done);
    if (w->task->acts)
        forget(w);
    return good;
}

/* Lasting positions from which a state's chain begins: as found, but for what was renewed and what
 * opens in this very state after a while. */
static void begin_state(walk *w, size_t state, int *start) {
    memcpy(start, w->result->found, n_parts(w) * sizeof *start);
    for (size_t i = 0; i < n_parts(w); i++)
        if ((w->task->done[i] & BP_DID_RENEW) || w->slow[state * n_parts(w) + i])
            start[i] = 0;
    begin_from(w, start);
}

static bool visit_all(walk *w, int *start) {
    const size_t only = w->task->state;
    for (size_t s = 0; s < w->b->circuit->n_states; s++) {
        if (only != BP_NONE && only != s)
            continue;
        begin_state(w, s, start);
        if (!visit_any(w, s))
            return false;
    }
    return true;
}

/* Readings in all states at once, in the hope that no fuse blows; if one does, all again with it
 * blown. */
static bool visit_hopefully(walk *w, int *start) {
    for (size_t s = 0; s < w->b->circuit->n_states; s++) {
        if (w->task->known[s] == BP_KNOWN)
            continue;
        if (!visit_any(w, s))
            return false;
        gather(w, s);
    }
    if (memcmp(w->result->found, w->start, n_parts(w) * sizeof *start) == 0)
        return true;
    bp_result_drop_phases(w->result);
    return visit_all(w, start);
}

static bool run(bp_bench *b, const bp_task *task, bp_result *result) {
    walk w;
    bp_case_undraw(b->c);
    bool good = walk_init(&w, b, task, result) &&
                (task->draw == 0 || bp_spreads_draw(task->draw, b->c->n_spreads, b->c->drawn));
    int *start = calloc(b->circuit->n_parts + 1, sizeof *start);
    if (good && start) {
        /* A task that failed half-way may have left these. */
        bp_bench_connect(b, BP_NONE);
        b->c->moved.direction = 0;
        b->c->as_found = false;
        b->c->what_if = task->what_if;
        b->c->faults = task->faults;
        memcpy(b->c->done, task->done, b->circuit->n_parts * sizeof *task->done);
        const bool at_once =
            task->state == BP_NONE && !task->acts && !in_line(task) && task->solve == BP_NONE;
        if (at_once)
            foresee(&w);
        good = at_once ? visit_hopefully(&w, start) : look_as_found(&w) && visit_all(&w, start);
    }
    free(start);
    walk_clear(&w);
    return good && start;
}

void bp_run_task(bp_bench *bench, const bp_task *task, bp_result *result) {
    *result = (bp_result){.status = BP_OK};
    if (bp_bench_load(bench, &task->plan) && run(bench, task, result))
        return;
    bp_result_clear(result);
    const char *why = bp_session_why(bench->rig.session);
    result->status = BP_ERR_SOLVER;
    strncpy(result->why, why[0] ? why : "the solver ended", sizeof result->why - 1);
}
