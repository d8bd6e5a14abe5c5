/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings at every pair of a settled circuit, each with the meter's own load on it.
 */
#include <math.h>
#include <string.h>

#include "sim/bench.h"

static const bp_instrument_def *instrument_of(const bp_bench *b) {
    return bp_instruments[b->deck->plan.instrument];
}

static bp_raw unsolved(void) {
    return (bp_raw){.status = BP_READING_NONE,
                    .why = BP_WHY_UNSOLVED,
                    .why_value = NAN,
                    .value = NAN,
                    .low = NAN,
                    .high = NAN};
}

/* Reads one pair from a row of the sweep: the instrument looks at the rig's volts. */
static bp_raw read_row(bp_bench *b, size_t pair) {
    if (!b->swept[pair])
        return unsolved();
    bp_rig row = b->rig;
    row.volts = &b->sweep[pair * b->deck->n_nodes];
    return instrument_of(b)->read(&row, pair);
}

static bool session_lives(const bp_bench *b) { return !bp_session_lost(b->rig.session); }

bool bp_read_frozen(bp_bench *b, size_t pair, bp_raw *raw) {
    if (instrument_of(b)->sweeps && pair == BP_NONE) {
        if (!bp_session_sweep(b->rig.session, b->rig.values, b->sweep, b->swept))
            memset(b->swept, 0, b->deck->n_sites * sizeof *b->swept);
        for (size_t i = 0; i < b->deck->plan.n_pairs; i++)
            raw[i] = read_row(b, i);
        return session_lives(b);
    }
    bp_bench_connect(b, pair);
    raw[pair] = bp_session_solve(b->rig.session, b->rig.values, b->rig.volts)
                    ? instrument_of(b)->read(&b->rig, pair)
                    : unsolved();
    return session_lives(b);
}

/* Takes a further reading of a display that does not stand still into its extremes. */
static void widen(bp_raw *raw, const bp_raw *next) {
    if (next->status == BP_READING_NONE)
        *raw = *next;
    if (raw->status == BP_READING_NONE)
        return;
    raw->low = fmin(raw->low, next->value);
    raw->high = fmax(raw->high, next->value);
}

/* Do both extremes look the same on the display? Then the reading stands still although something
 * chatters. */
static void judge(const bp_bench *b, bp_raw *raw) {
    char low[24], high[24];
    if (raw->status == BP_READING_NONE)
        return;
    instrument_of(b)->show(raw->low, low, sizeof low);
    instrument_of(b)->show(raw->high, high, sizeof high);
    if (strcmp(low, high) != 0)
        raw->status = BP_READING_UNSTEADY;
    else
        raw->low = raw->high = NAN;
}

/* All configurations that follow each other while something chatters; pair BP_NONE: all pairs. */
static bool read_loop(bp_bench *b, const bp_settled *settled, size_t pair, bp_raw *raw) {
    const size_t first = pair == BP_NONE ? 0 : pair;
    const size_t last = pair == BP_NONE ? b->deck->plan.n_pairs : pair + 1;
    for (size_t k = 0; k < settled->n_loop; k++) {
        bp_take_positions(b->c, &b->rig, &settled->loop[k * b->circuit->n_parts]);
        if (!bp_read_frozen(b, pair, b->first))
            return false;
        for (size_t i = first; i < last; i++) {
            if (k == 0)
                raw[i] = b->first[i], raw[i].low = raw[i].high = raw[i].value;
            else
                widen(&raw[i], &b->first[i]);
        }
    }
    for (size_t i = first; i < last; i++)
        judge(b, &raw[i]);
    return true;
}

bool bp_take_reading(bp_bench *b, const bp_settled *settled, size_t pair, bool ranges,
                     bp_raw *raw) {
    if (settled->rest == BP_REST_CHATTER)
        return read_loop(b, settled, pair, raw);
    if (settled->rest != BP_REST_FOUND) {
        raw[pair] = unsolved();
        return session_lives(b);
    }
    return bp_read_frozen(b, pair, raw) && (!ranges || bp_find_ranges(b, pair, raw));
}

/* The meter's load moves something (a test lamp pulls a relay in): the circuit settles with the
 * leads on, from where it stood, and goes back there. */
static bool read_settling(bp_bench *b, size_t pair, double lasts, bool ranges, bp_raw *raw) {
    memcpy(b->stood, b->c->position, b->circuit->n_parts * sizeof *b->stood);
    bp_bench_connect(b, pair);
    bp_settled settled = bp_settle(b->c, &b->rig, lasts);
    const bool good =
        settled.rest != BP_REST_NO_MEMORY && bp_take_reading(b, &settled, pair, ranges, raw);
    bp_settled_clear(&settled);
    bp_take_positions(b->c, &b->rig, b->stood);
    bp_bench_connect(b, BP_NONE);
    return good;
}

static bool read_each(bp_bench *b, double lasts, bool ranges, bp_raw *raw) {
    for (size_t i = 0; i < b->deck->plan.n_pairs; i++)
        if (!read_settling(b, i, lasts, ranges, raw))
            return false;
    return true;
}

/* One sweep over all pairs; where the meter's load makes something move, that pair is settled by
 * itself. */
static bool read_sweep(bp_bench *b, double lasts, bool ranges, bp_raw *raw) {
    if (!bp_read_frozen(b, BP_NONE, raw))
        return false;
    for (size_t i = 0; i < b->deck->plan.n_pairs; i++)
        b->moved[i] =
            b->swept[i] && bp_restless(b->c, b->rig.values, &b->sweep[i * b->deck->n_nodes], lasts);
    if (ranges && !bp_find_ranges(b, BP_NONE, raw))
        return false;
    for (size_t i = 0; i < b->deck->plan.n_pairs; i++)
        if (b->moved[i] && !read_settling(b, i, lasts, ranges, raw))
            return false;
    return true;
}

bool bp_take_readings(bp_bench *b, const bp_settled *settled, double lasts, bool ranges,
                      bp_raw *raw) {
    if (b->deck->plan.n_pairs == 0)
        return true;
    if (settled->rest != BP_REST_FOUND && settled->rest != BP_REST_CHATTER) {
        for (size_t i = 0; i < b->deck->plan.n_pairs; i++)
            raw[i] = unsolved();
        return session_lives(b);
    }
    if (!instrument_of(b)->sweeps)
        return read_each(b, lasts, ranges, raw);
    if (settled->rest == BP_REST_CHATTER)
        return read_loop(b, settled, BP_NONE, raw);
    return read_sweep(b, lasts, ranges, raw);
}
