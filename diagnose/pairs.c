/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two faults at once. They are sought by what each reading needs: one fault of a pair has to
 * explain what the other leaves over. The likeliest of those are solved together, since two faults
 * do more than add up, and both degrees are fitted to the readings.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/match_parts.h"
#include "diagnose/pair_fit.h"
#include "diagnose/posterior_parts.h"

/* Of cars with one fault in a circuit, so many have a second, unrelated one in it: from memory. */
#define TWO_AT_ONCE 0.05
/* A row explains a reading when it lies this near, in standard deviations. */
#define NEAR 2.5
/* As probable: within two standard deviations. */
#define APART 2.0
enum { MOST_PAIRS = 20 };

/* A row and which readings it, or the stretch to its next, explains, as bits. */
typedef struct seed {
    size_t row;
    uint64_t explains;
    double prior;
} seed;

typedef struct pair {
    seed one, two;
    int explained; /* how many readings at least one of them explains */
    double prior, log_weight;
    bp_pair_fit fit;
} pair;

typedef struct search {
    bp_match *m;
    const bp_posterior *p;
    seed *seed;
    size_t n_seeds;
    pair pair[MOST_PAIRS];
    size_t n_pairs;
} search;

/* Mean of a reading in a row and its standard deviation there; false when it is no number. */
static bool mean_of(const bp_posterior *p, size_t row, const bp_evidence *e, double *mean,
                    double *sd) {
    const bp_cell cell = bp_atlas_cell(p->atlas, row, e->test);
    if (e->sort != BP_SEEN_VALUE || cell.sort != BP_CELL_VALUE)
        return false;
    double *moves = malloc((p->prior->n_spreads + 1) * sizeof *moves), own = 0;
    double variance = pow(bp_evidence_sd(p->atlas, e), 2);
    *mean = cell.value;
    if (moves)
        bp_atlas_moves(p->atlas, row, e->test, moves, &own);
    for (size_t q = 0; moves && q < p->prior->n_spreads; q++) {
        *mean += moves[q] * p->prior->mean[q];
        variance += pow(moves[q] * p->prior->sd[q], 2);
    }
    free(moves);
    *sd = sqrt(variance + own * own);
    return true;
}

static bool explains(const bp_posterior *p, size_t row, size_t i) {
    const bp_evidence *e = &p->evidence[i];
    const size_t source = e->present == BP_PRESENT_NO ? 0 : row;
    const size_t next = source == 0 ? BP_NONE : bp_atlas_row_at(p->atlas, source)->next;
    double mean, sd, other;
    if (!mean_of(p, source, e, &mean, &sd)) {
        const bp_cell cell = bp_atlas_cell(p->atlas, source, e->test);
        return bp_category_probability(p->atlas, e, &cell, 0) > 0.2;
    }
    if (next == BP_NONE || !mean_of(p, next, e, &other, &sd))
        other = mean;
    return e->value >= fmin(mean, other) - NEAR * sd && e->value <= fmax(mean, other) + NEAR * sd;
}

static uint64_t explained_by(const bp_posterior *p, size_t row) {
    uint64_t bits = 0;
    for (size_t i = 0; i < p->n_evidence && i < 64; i++)
        if (explains(p, row, i))
            bits |= (uint64_t)1 << i;
    return bits;
}

/* Rows that explain something which a good circuit does not; of a fault's rows that explain the
 * same, the one with the most prior. */
static bool find_seeds(search *s) {
    const bp_atlas *a = s->p->atlas;
    const uint64_t good = explained_by(s->p, 0);
    s->seed = calloc(bp_atlas_n_rows(a) + 1, sizeof *s->seed);
    for (size_t r = 1; s->seed && r < bp_atlas_n_rows(a); r++) {
        const bp_atlas_row *row = bp_atlas_row_at(a, r);
        const uint64_t bits = row->fault == BP_NONE ? 0 : explained_by(s->p, r);
        if (!(bits & ~good))
            continue;
        const bp_prior *prior = s->p->prior;
        const seed now = {r, bits, prior->fault[row->fault] + prior->unseen[row->fault]};
        size_t k = 0;
        while (k < s->n_seeds && !(bp_atlas_row_at(a, s->seed[k].row)->fault == row->fault &&
                                   s->seed[k].explains == bits))
            k++;
        if (k == s->n_seeds)
            s->seed[s->n_seeds++] = now;
    }
    return s->seed != NULL;
}

static bool is_better(const pair *a, const pair *b) {
    return a->explained != b->explained ? a->explained > b->explained : a->prior > b->prior;
}

static bool same_faults(const search *s, const pair *a, const pair *b) {
    const bp_atlas *atlas = s->p->atlas;
    return bp_atlas_row_at(atlas, a->one.row)->fault == bp_atlas_row_at(atlas, b->one.row)->fault &&
           bp_atlas_row_at(atlas, a->two.row)->fault == bp_atlas_row_at(atlas, b->two.row)->fault;
}

/* One entry for two faults, the best one; the list stays sorted. */
static void keep_best(search *s, const pair *now) {
    size_t at = 0;
    while (at < s->n_pairs && !same_faults(s, &s->pair[at], now))
        at++;
    if (at == s->n_pairs && at < MOST_PAIRS)
        s->n_pairs++;
    else if (at == s->n_pairs)
        at--;
    else if (!is_better(now, &s->pair[at]))
        return;
    if (at == MOST_PAIRS - 1 && s->pair[at].explained > 0 && !is_better(now, &s->pair[at]))
        return;
    for (; at > 0 && is_better(now, &s->pair[at - 1]); at--)
        s->pair[at] = s->pair[at - 1];
    s->pair[at] = *now;
}

static int count(uint64_t bits) {
    int n = 0;
    for (; bits; bits &= bits - 1)
        n++;
    return n;
}

static bool may_be_together(const bp_atlas *a, size_t one, size_t two) {
    return !bp_fault_contradict(bp_atlas_circuit(a),
                                &bp_atlas_fault(a, bp_atlas_row_at(a, one)->fault)->fault,
                                &bp_atlas_fault(a, bp_atlas_row_at(a, two)->fault)->fault);
}

/* Each of the two explains something that the other does not. */
static void find_pairs(search *s) {
    for (size_t i = 0; i < s->n_seeds; i++)
        for (size_t k = 0; k < i; k++) {
            const seed *one = &s->seed[k], *two = &s->seed[i];
            if (!may_be_together(s->p->atlas, one->row, two->row) ||
                !(one->explains & ~two->explains) || !(two->explains & ~one->explains))
                continue;
            const pair now = {.one = *one,
                              .two = *two,
                              .explained = count(one->explains | two->explains),
                              .prior = one->prior * two->prior};
            keep_best(s, &now);
        }
}

static bool fit_all(search *s, bp_report *report) {
    bp_pair_fitter *fitter = bp_pair_fitter_new(s->m->d, report);
    bool good = fitter != NULL;
    for (size_t k = 0; k < s->n_pairs && good; k++) {
        pair *x = &s->pair[k];
        good = bp_pair_fitter_run(fitter, x->one.row, x->two.row, &x->fit);
        x->log_weight = log(TWO_AT_ONCE * x->prior) + x->fit.log_evidence;
    }
    bp_pair_fitter_free(&fitter);
    return good;
}

static int by_weight(const void *x, const void *y) {
    const pair *a = x, *b = y;
    return a->log_weight != b->log_weight ? (a->log_weight > b->log_weight ? -1 : 1) : 0;
}

static bp_suspect_fault fault_of(const search *s, const pair *x, double probability) {
    char text[600], words[800];
    bp_fault_case faults = {.n = 2};
    const size_t rows[2] = {x->one.row, x->two.row};
    for (int i = 0; i < 2; i++) {
        const bp_atlas_row *row = bp_atlas_row_at(s->p->atlas, rows[i]);
        faults.fault[i] = bp_atlas_fault(s->p->atlas, row->fault)->fault;
        faults.fault[i].severity = x->fit.severity[i];
    }
    bp_fault_words(s->m->d->circuit, &faults, words, sizeof words);
    for (int i = 0; i < 2; i++)
        faults.fault[i].severity = NAN;
    bp_fault_write(s->m->d->circuit, &faults, text, sizeof text);
    return (bp_suspect_fault){.fault = bp_store_copy(&s->m->store, text),
                              .words = bp_store_copy(&s->m->store, words),
                              .probability = probability,
                              .severity = NAN,
                              .low = NAN,
                              .high = NAN};
}

/* Pairs that fit as well as the first that is left become one suspect. */
static bool add_suspects(search *s, double log_all) {
    qsort(s->pair, s->n_pairs, sizeof *s->pair, by_weight);
    bool done[MOST_PAIRS] = {false}, good = true;
    for (size_t k = 0; k < s->n_pairs && good; k++) {
        if (done[k])
            continue;
        bp_suspect_fault *list = bp_store_get(&s->m->store, s->n_pairs, sizeof *list);
        bp_suspect one = {.sort = BP_SUSPECT_PAIRS,
                          .faults = list,
                          .says = "no single fault explains every reading; these two together do"};
        for (size_t i = k; i < s->n_pairs && list; i++) {
            if (done[i] || fabs(s->pair[i].fit.log_best - s->pair[k].fit.log_best) > APART)
                continue;
            done[i] = true;
            list[one.n_faults] = fault_of(s, &s->pair[i], exp(s->pair[i].log_weight - log_all));
            one.probability += list[one.n_faults++].probability;
        }
        if (list)
            qsort(list, one.n_faults, sizeof *list, bp_match_by_id);
        good = list && bp_match_add(s->m, one);
    }
    return good;
}

bool bp_match_find_pairs(bp_match *m, bp_report *report) {
    search *s = calloc(1, sizeof *s);
    if (!s)
        return false;
    s->m = m;
    s->p = m->d->posterior;
    bool good = find_seeds(s);
    if (good)
        find_pairs(s);
    good = good && fit_all(s, report);
    const double before = bp_posterior_evidence_log(s->p);
    double log_all = before;
    for (size_t k = 0; k < s->n_pairs && good; k++)
        log_all = bp_log_add(log_all, s->pair[k].log_weight);
    /* What was shared out before is a part of the whole now. */
    if (good)
        bp_match_scale(m, exp(before - log_all));
    good = good && add_suspects(s, log_all);
    free(s->seed);
    free(s);
    return good;
}
