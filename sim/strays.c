/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How readings move with each toleranced quantity: moved upwards a little, solved again.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/bench.h"

/* Readings move as they do with a meter on every pair at once, unless those meters together change
 * what is read: then the pair is looked at by itself. As a share of what it reads. */
#define SAME_VOLTS 0.01
/* So much of a standard deviation is moved, and the change taken times its inverse: readings bend.
 */
#define STEP 0.25
/* What moves no reading by so much needs no second look, V: a tenth of the finest count. */
#define NO_MOVE 1e-4

typedef struct finder {
    bp_bench *b;
    const bp_raw *raw;
    float *strays;
    size_t n;             /* quantities */
    double *base, *volts; /* by node */
    double *before;       /* the rig's values with nothing moved */
} finder;

static double difference(const bp_deck *deck, const double *volts, size_t pair) {
    return volts[bp_meter_red(deck, pair)] - volts[bp_meter_black(deck, pair)];
}

/* Values of everything that the quantity has a say in. */
static void apply(bp_bench *b, size_t spread, double sigmas) {
    bp_case *c = b->c;
    c->drawn[spread] += sigmas;
    if (c->spread[spread].part != BP_NONE) {
        bp_case_part_values(c, c->spread[spread].part, b->rig.values);
        return;
    }
    c->around.supply_strays = c->drawn[spread] / BP_SIGMAS_95;
    for (size_t p = 0; p < b->circuit->n_parts; p++)
        bp_case_part_values(c, p, b->rig.values);
}

/* Is it plain without solving that no voltage moves by `least`? A resistance moved from R to R'
 * under a voltage V moves no other voltage by more than V |R' - R| / R (a source behind resistances
 * gives no more than it has); other elements may do anything. `before`: values without the move,
 * the same places as the rig's. */
static bool is_nothing(const finder *f, const double *before, double least) {
    const bp_bench *b = f->b;
    double most = 0;
    for (size_t i = 0; i < b->deck->n_values && most <= STEP * least; i++) {
        if (b->rig.values[i] == before[i])
            continue;
        const bp_element *e = bp_deck_element_of_value(b->deck, i);
        if (e->sort != BP_EL_RESISTOR)
            return false;
        most += fabs(f->base[e->plus] - f->base[e->minus]) * fabs(b->rig.values[i] - before[i]) /
                before[i];
    }
    return most <= STEP * least;
}

/* With the meters on all pairs; pairs that are known that way get their strays. */
static bool move_all(finder *f, const unsigned char *known) {
    bp_bench *b = f->b;
    for (size_t k = 0; k < f->n; k++) {
        apply(b, k, STEP);
        const bool solved = !is_nothing(f, f->before, NO_MOVE) &&
                            bp_session_solve_all_sites(b->rig.session, b->rig.values, f->volts);
        apply(b, k, -STEP);
        if (bp_session_lost(b->rig.session))
            return false;
        for (size_t i = 0; solved && i < b->deck->plan.n_pairs; i++)
            if (known[i])
                f->strays[i * f->n + k] =
                    (float)((difference(b->deck, f->volts, i) - difference(b->deck, f->base, i)) /
                            STEP);
    }
    return true;
}

static bool matters(const finder *f, size_t spread) {
    for (size_t i = 0; i < f->b->deck->plan.n_pairs; i++)
        if (fabsf(f->strays[i * f->n + spread]) > NO_MOVE)
            return true;
    return false;
}

/* One pair with the meter on it alone, for the quantities that move anything at all. */
static bool move_alone(finder *f, size_t pair) {
    bp_bench *b = f->b;
    bool good = true;
    bp_bench_connect(b, pair);
    for (size_t k = 0; k < f->n && good; k++) {
        if (!matters(f, k))
            continue;
        apply(b, k, STEP);
        if (bp_session_solve(b->rig.session, b->rig.values, f->volts))
            f->strays[pair * f->n + k] =
                (float)((difference(b->deck, f->volts, pair) - f->raw[pair].value) / STEP);
        apply(b, k, -STEP);
        good = !bp_session_lost(b->rig.session);
    }
    bp_bench_connect(b, BP_NONE);
    return good;
}

/* The change of a reading for one standard deviation; 0 where one of the two is no number. */
static float change(const bp_raw *moved, const bp_raw *base) {
    return moved->status == BP_READING_OK && base->status == BP_READING_OK
               ? (float)((moved->value - base->value) / STEP)
               : 0;
}

/* Instruments that put a current through what they are on: read anew with each quantity moved, the
 * leads on the pair, where the circuit has settled with them. */
static bool move_and_read(finder *f, size_t pair) {
    bp_bench *b = f->b;
    if (!bp_read_frozen(b, pair, b->first))
        return false;
    if (b->first[pair].status != BP_READING_OK)
        return true;
    const double least =
        bp_instruments[b->deck->plan.instrument]->slight(&b->rig, b->first[pair].value);
    memcpy(f->base, b->rig.volts, b->deck->n_nodes * sizeof *f->base);
    bp_bench_connect(b, pair); /* as before each reading: an ohmmeter has changed ranges since */
    memcpy(f->before, b->rig.values, b->deck->n_values * sizeof *f->before);
    bool good = true;
    for (size_t k = 0; k < f->n && good; k++) {
        apply(b, k, STEP);
        if (!is_nothing(f, f->before, least)) {
            good = bp_read_frozen(b, pair, b->second);
            f->strays[pair * f->n + k] = good ? change(&b->second[pair], &b->first[pair]) : 0;
            bp_bench_connect(b, pair);
        }
        apply(b, k, -STEP);
    }
    return good;
}

/* The leads are put on the pair and the circuit settles with them; afterwards it stands as before.
 */
static bool settle_and_read(finder *f, size_t pair, double lasts) {
    bp_bench *b = f->b;
    memcpy(b->stood, b->c->position, b->circuit->n_parts * sizeof *b->stood);
    bp_bench_connect(b, pair);
    bp_settled settled = bp_settle(b->c, &b->rig, lasts);
    const bool good = settled.rest != BP_REST_NO_MEMORY &&
                      (settled.rest != BP_REST_FOUND || move_and_read(f, pair));
    bp_settled_clear(&settled);
    bp_take_positions(b->c, &b->rig, b->stood);
    bp_bench_connect(b, BP_NONE);
    return good;
}

/* What does not touch the circuit: all pairs off one solution for each quantity. */
static bool move_apart(finder *f) {
    bp_bench *b = f->b;
    const size_t n_pairs = b->deck->plan.n_pairs;
    const double least = bp_instruments[b->deck->plan.instrument]->slight(&b->rig, 0);
    if (!bp_read_frozen(b, BP_NONE, b->first))
        return false;
    memcpy(f->base, b->rig.volts, b->deck->n_nodes * sizeof *f->base);
    bool good = true;
    for (size_t k = 0; k < f->n && good; k++) {
        apply(b, k, STEP);
        if (!is_nothing(f, f->before, least)) {
            good = bp_read_frozen(b, BP_NONE, b->second);
            for (size_t i = 0; i < n_pairs && good; i++)
                f->strays[i * f->n + k] = change(&b->second[i], &b->first[i]);
        }
        apply(b, k, -STEP);
    }
    return good;
}

static bool move_volts(finder *f) {
    bp_bench *b = f->b;
    const bp_raw *raw = f->raw;
    const size_t n_pairs = b->deck->plan.n_pairs;
    if (!bp_session_solve_all_sites(b->rig.session, b->rig.values, f->base))
        return !bp_session_lost(b->rig.session);
    for (size_t i = 0; i < n_pairs; i++)
        b->moved[i] = raw[i].status == BP_READING_OK &&
                      fabs(difference(b->deck, f->base, i) - raw[i].value) <=
                          SAME_VOLTS * fabs(raw[i].value) + NO_MOVE;
    bool good = move_all(f, b->moved);
    for (size_t i = 0; i < n_pairs && good; i++)
        if (raw[i].status == BP_READING_OK && !b->moved[i])
            good = move_alone(f, i);
    return good;
}

static bool move_each(finder *f, double lasts) {
    bool good = true;
    for (size_t i = 0; i < f->b->deck->plan.n_pairs && good; i++)
        if (f->raw[i].status == BP_READING_OK)
            good = settle_and_read(f, i, lasts);
    return good;
}

bool bp_find_strays(bp_bench *b, const bp_raw *raw, size_t pair, double lasts, float *strays) {
    const bp_instrument_def *meter = bp_instruments[b->deck->plan.instrument];
    finder f = {b, raw, strays, b->c->n_spreads, b->together, b->alone, NULL};
    f.before = malloc((b->deck->n_values + 1) * sizeof *f.before);
    if (!f.before)
        return false;
    memcpy(f.before, b->rig.values, b->deck->n_values * sizeof *f.before);
    const bool good = pair != BP_NONE ? move_and_read(&f, pair)
                      : meter->light  ? move_volts(&f)
                      : meter->apart  ? move_apart(&f)
                                      : move_each(&f, lasts);
    free(f.before);
    return good;
}
