/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/bench.h"

#include <math.h>
#include <stdlib.h>

static void clear_deck(bp_bench *b) {
    bp_case_free(&b->c);
    bp_deck_free(&b->deck);
    b->rig.deck = NULL;
    free(b->rig.values);
    free(b->rig.volts);
    free(b->together);
    free(b->alone);
    free(b->moved);
    free(b->stood);
    free(b->first);
    free(b->second);
    b->rig.values = b->rig.volts = b->together = b->alone = NULL;
    b->moved = NULL;
    b->stood = NULL;
    b->first = b->second = NULL;
}

void bp_bench_clear(bp_bench *bench) { clear_deck(bench); }

static bool make_room(bp_bench *b, const bp_plan *plan) {
    b->deck = bp_deck_new(b->circuit, plan);
    if (!b->deck)
        return false;
    b->rig.deck = b->deck;
    b->c = bp_case_new(b->circuit, b->deck);
    b->rig.values = calloc(b->deck->n_values + 1, sizeof *b->rig.values);
    b->rig.volts = calloc(b->deck->n_nodes + 1, sizeof *b->rig.volts);
    b->together = calloc(b->deck->n_nodes + 1, sizeof *b->together);
    b->alone = calloc(b->deck->n_nodes + 1, sizeof *b->alone);
    b->moved = calloc(plan->n_pairs + 1, sizeof *b->moved);
    b->stood = calloc(b->circuit->n_parts + 1, sizeof *b->stood);
    b->first = calloc(plan->n_pairs + 1, sizeof *b->first);
    b->second = calloc(plan->n_pairs + 1, sizeof *b->second);
    return b->c && b->rig.values && b->rig.volts && b->together && b->alone && b->moved &&
           b->stood && b->first && b->second;
}

void bp_bench_connect(bp_bench *bench, size_t pair) {
    if (bench->deck->plan.n_pairs)
        bp_instruments[bench->deck->plan.instrument]->connect(bench->deck, pair, bench->rig.values);
}

bool bp_bench_load(bp_bench *b, const bp_plan *plan) {
    if (b->deck && bp_plan_equal(&b->deck->plan, plan))
        return true;
    clear_deck(b);
    bool good = make_room(b, plan);
    if (good) {
        static const bp_conditions as_it_says = {NAN, NAN, NAN, 0};
        bp_case_enter(b->c, BP_NONE, &as_it_says);
        bp_case_values(b->c, b->rig.values);
        bp_bench_connect(b, BP_NONE);
        good = bp_session_load(b->rig.session, b->deck, b->rig.values);
    }
    if (!good)
        clear_deck(b);
    return good;
}
