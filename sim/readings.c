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

static bp_raw unsolved(void) { return bp_raw_none(BP_WHY_UNSOLVED, NAN); }

static bool session_lives(const bp_bench *b) { return !bp_session_lost(b->rig.session); }

static bp_raw read_from(const bp_bench *b, size_t pair, double *volts) {
    bp_rig rig = b->rig;
    rig.volts = volts;
    return instrument_of(b)->read(&rig, pair);
}

/* One pair with the leads on it alone; the rig's volts stay those without the meter. */
static void read_alone(bp_bench *b, size_t pair, double *volts, bp_raw *raw) {
    bp_bench_connect(b, pair);
    *raw = bp_session_solve(b->rig.session, b->rig.values, volts) ? read_from(b, pair, volts)
                                                                  : unsolved();
    bp_bench_connect(b, BP_NONE);
}

/* A voltmeter moves most points by microvolts. Two solutions, without any meter and with one on
 * every point at once, enclose what each point shows with the meter on it alone, since every meter
 * draws towards the common black lead. Where both agree to a fiftieth of a count, or where even all
 * meters' share taken together stays far below one count, the reading is known; everywhere else the
 * meter is put on that pair alone and it is solved again. */
#define AGREES 0.02
#define NOTHING 0.2

static bool is_known(const bp_bench *b, const bp_raw *without, const bp_raw *together) {
    if (without->status != together->status)
        return false;
    const double count = instrument_of(b)->count(together->value);
    const double share = (double)b->deck->plan.n_pairs * fabs(together->value);
    return fabs(without->value - together->value) <= AGREES * count || share <= NOTHING * count;
}

/* Are the meters of this plan such that together they enclose each alone? */
static bool one_black_lead(const bp_bench *b) {
    for (size_t i = 1; i < b->deck->plan.n_pairs; i++)
        if (bp_meter_black(b->deck, i) != bp_meter_black(b->deck, 0))
            return false;
    return b->deck->plan.n_pairs > 2;
}

/* Every pair, from the rig's volts (those without the meter) and further solutions. moved (may be
 * NULL) takes where the meter's load makes something move. */
static void read_all(bp_bench *b, double lasts, unsigned char *moved, bp_raw *raw) {
    if (instrument_of(b)->apart) {
        for (size_t i = 0; i < b->deck->plan.n_pairs; i++)
            raw[i] = read_from(b, i, b->rig.volts);
        if (moved)
            memset(moved, 0, b->deck->plan.n_pairs);
        return;
    }
    const bool enclosed = one_black_lead(b) &&
                          bp_session_solve_all_sites(b->rig.session, b->rig.values, b->together) &&
                          !(moved && bp_restless(b->c, b->rig.values, b->together, lasts));
    for (size_t i = 0; i < b->deck->plan.n_pairs; i++) {
        const bp_raw without = read_from(b, i, b->rig.volts);
        const bp_raw together = enclosed ? read_from(b, i, b->together) : without;
        const bool known = enclosed && is_known(b, &without, &together);
        raw[i] = together;
        if (moved)
            moved[i] = 0;
        raw[i].firm = known && fabs(without.value - together.value) <=
                                   AGREES * instrument_of(b)->count(together.value);
        if (known)
            continue;
        read_alone(b, i, b->alone, &raw[i]);
        if (moved && raw[i].why != BP_WHY_UNSOLVED)
            moved[i] = bp_restless(b->c, b->rig.values, b->alone, lasts);
    }
}

bool bp_read_frozen(bp_bench *b, size_t pair, bp_raw *raw) {
    if (pair != BP_NONE) {
        bp_bench_connect(b, pair);
        raw[pair] = bp_session_solve(b->rig.session, b->rig.values, b->rig.volts)
                        ? instrument_of(b)->read(&b->rig, pair)
                        : unsolved();
        return session_lives(b);
    }
    if (bp_session_solve(b->rig.session, b->rig.values, b->rig.volts))
        read_all(b, NAN, NULL, raw);
    else
        for (size_t i = 0; i < b->deck->plan.n_pairs; i++)
            raw[i] = unsolved();
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

/* Does the display stand still although something chatters? A light meter's last digits always
 * play by a count or two. */
static bool stands_still(const bp_instrument_def *meter, const bp_raw *raw) {
    char low[24], high[24];
    if (meter->count)
        return raw->high - raw->low <= 2 * meter->count(raw->high);
    meter->show(raw->low, low, sizeof low);
    meter->show(raw->high, high, sizeof high);
    return strcmp(low, high) == 0;
}

static void judge(const bp_bench *b, bp_raw *raw) {
    if (raw->status == BP_READING_NONE)
        return;
    if (!stands_still(instrument_of(b), raw))
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

/* All pairs of a meter that needs no settling; where even its load makes something move, that pair
 * is settled by itself. */
static bool read_light(bp_bench *b, double lasts, bool ranges, bp_raw *raw) {
    read_all(b, lasts, b->moved, raw);
    if (!session_lives(b) || (ranges && !bp_find_ranges(b, BP_NONE, raw)))
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
    if (!instrument_of(b)->light && !instrument_of(b)->apart)
        return read_each(b, lasts, ranges, raw);
    if (settled->rest == BP_REST_CHATTER)
        return read_loop(b, settled, BP_NONE, raw);
    return read_light(b, lasts, ranges, raw);
}
