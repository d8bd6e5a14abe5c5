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

/* Is it plain without solving that no reading moves? A resistance moved from R to R' under a
 * voltage V moves no other voltage by more than V |R' - R| / R (a source behind resistances gives
 * no more than it has); other elements may do anything. `before`: values without the move, the same
 * places as the rig's. */
static bool is_nothing(const finder *f, const double *before) {
    const bp_bench *b = f->b;
    double most = 0;
    for (size_t i = 0; i < b->deck->n_values && most <= STEP * NO_MOVE; i++) {
        if (b->rig.values[i] == before[i])
            continue;
        const bp_element *e = bp_deck_element_of_value(b->deck, i);
        if (e->sort != BP_EL_RESISTOR)
            return false;
        most += fabs(f->base[e->plus] - f->base[e->minus]) * fabs(b->rig.values[i] - before[i]) /
                before[i];
    }
    return most <= STEP * NO_MOVE;
}

/* With the meters on all pairs; pairs that are known that way get their strays. */
static bool move_all(finder *f, const unsigned char *known) {
    bp_bench *b = f->b;
    for (size_t k = 0; k < f->n; k++) {
        apply(b, k, STEP);
        const bool solved = !is_nothing(f, f->before) &&
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

bool bp_find_strays(bp_bench *b, const bp_raw *raw, float *strays) {
    finder f = {b, raw, strays, b->c->n_spreads, b->together, b->alone, NULL};
    const size_t n_pairs = b->deck->plan.n_pairs;
    memset(strays, 0, n_pairs * f.n * sizeof *strays);
    if (!bp_session_solve_all_sites(b->rig.session, b->rig.values, f.base))
        return !bp_session_lost(b->rig.session);
    f.before = malloc((b->deck->n_values + 1) * sizeof *f.before);
    if (!f.before)
        return false;
    memcpy(f.before, b->rig.values, b->deck->n_values * sizeof *f.before);
    for (size_t i = 0; i < n_pairs; i++)
        b->moved[i] =
            raw[i].status == BP_READING_OK && fabs(difference(b->deck, f.base, i) - raw[i].value) <=
                                                  SAME_VOLTS * fabs(raw[i].value) + NO_MOVE;
    bool good = move_all(&f, b->moved);
    for (size_t i = 0; i < n_pairs && good; i++)
        if (raw[i].status == BP_READING_OK && !b->moved[i])
            good = move_alone(&f, i);
    free(f.before);
    return good;
}
