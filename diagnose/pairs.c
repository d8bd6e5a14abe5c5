/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two faults at once. They are sought by what each reading needs: one fault of a pair has to
 * explain what the other leaves over. The likeliest of those are solved together, since two faults
 * do more than add up.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"
#include "diagnose/casefile_parts.h"
#include "diagnose/match_parts.h"
#include "diagnose/posterior_parts.h"

/* Of cars with one fault in a circuit, so many have a second, unrelated one in it: from memory. */
#define TWO_AT_ONCE 0.05
/* A row explains a reading when it lies this near, in standard deviations. */
#define NEAR 2.5
/* As probable: within two standard deviations. */
#define APART 2.0
enum { MOST_PAIRS = 40 };

/* A row and which readings it explains, as bits. */
typedef struct seed {
    size_t row;
    uint64_t explains;
    double prior;
} seed;

typedef struct pair {
    seed one, two;
    double prior, log_weight, fit;
    char fault[600];
} pair;

typedef struct search {
    bp_match *m;
    const bp_posterior *p;
    seed *seed;
    size_t n_seeds;
    uint64_t all;
    pair pair[MOST_PAIRS];
    size_t n_pairs;
} search;

static bool explains(const bp_posterior *p, size_t row, size_t i) {
    const bp_evidence *e = &p->evidence[i];
    const size_t source = e->present == BP_PRESENT_NO ? 0 : row;
    const bp_cell cell = bp_atlas_cell(p->atlas, source, e->test);
    if (e->sort != BP_SEEN_VALUE || cell.sort != BP_CELL_VALUE)
        return bp_category_probability(p->atlas, e, &cell) > 0.2;
    double *moves = malloc((p->prior->n_spreads + 1) * sizeof *moves), own = 0;
    double mean = cell.value, variance = pow(bp_evidence_sd(p->atlas, e), 2);
    if (moves)
        bp_atlas_moves(p->atlas, source, e->test, moves, &own);
    for (size_t q = 0; moves && q < p->prior->n_spreads; q++) {
        mean += moves[q] * p->prior->mean[q];
        variance += pow(moves[q] * p->prior->sd[q], 2);
    }
    free(moves);
    return fabs(e->value - mean) <= NEAR * sqrt(variance + own * own);
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
        const seed now = {r, bits, s->p->prior->fault[row->fault] * (row->mass + row->mass_next)};
        size_t k = 0;
        while (k < s->n_seeds && !(bp_atlas_row_at(a, s->seed[k].row)->fault == row->fault &&
                                   s->seed[k].explains == bits))
            k++;
        if (k == s->n_seeds)
            s->seed[s->n_seeds++] = now;
        else if (now.prior > s->seed[k].prior)
            s->seed[k] = now;
    }
    return s->seed != NULL;
}

static void keep_likeliest(search *s, const seed *one, const seed *two) {
    const pair now = {.one = *one, .two = *two, .prior = one->prior * two->prior};
    size_t at = s->n_pairs < MOST_PAIRS ? s->n_pairs++ : MOST_PAIRS - 1;
    if (at == MOST_PAIRS - 1 && s->pair[at].prior > now.prior)
        return;
    for (; at > 0 && s->pair[at - 1].prior < now.prior; at--)
        s->pair[at] = s->pair[at - 1];
    s->pair[at] = now;
}

static void find_pairs(search *s) {
    for (size_t i = 0; i < s->n_seeds; i++)
        for (size_t k = 0; k < i; k++)
            if ((s->seed[i].explains | s->seed[k].explains) == s->all &&
                bp_atlas_row_at(s->p->atlas, s->seed[i].row)->fault !=
                    bp_atlas_row_at(s->p->atlas, s->seed[k].row)->fault)
                keep_likeliest(s, &s->seed[k], &s->seed[i]);
}

static void pair_text(const search *s, const pair *x, bool degrees, char *text, size_t size) {
    bp_fault_case faults = {.n = 2};
    const size_t rows[2] = {x->one.row, x->two.row};
    for (int i = 0; i < 2; i++) {
        const bp_atlas_row *row = bp_atlas_row_at(s->p->atlas, rows[i]);
        faults.fault[i] = bp_atlas_fault(s->p->atlas, row->fault)->fault;
        faults.fault[i].severity = degrees ? row->severity : NAN;
    }
    bp_fault_write(s->m->d->circuit, &faults, text, size);
}

/* The question behind reading i; false for the battery's resting voltage, which no second fault
 * changes. */
static bool question_for(const search *s, size_t i, const char *fault, bp_pair *leads,
                         bp_question *q) {
    const size_t reading = s->m->d->reading[i];
    if (reading == BP_NONE)
        return false;
    *q = bp_casefile_question(s->m->d->file, bp_casefile_reading(s->m->d->file, reading), leads);
    q->faults = s->p->evidence[i].present == BP_PRESENT_NO ? NULL : fault;
    return true;
}

static bp_cell cell_of(const bp_answer *answer, const char *observed) {
    static const bp_cell_sort sorts[] = {[BP_READING_OK] = BP_CELL_VALUE,
                                         [BP_READING_OVER] = BP_CELL_OVER,
                                         [BP_READING_UNSTEADY] = BP_CELL_UNSTEADY,
                                         [BP_READING_NONE] = BP_CELL_NONE};
    if (!answer || answer->n_states == 0)
        return (bp_cell){BP_CELL_NONE, NAN, NULL};
    const bp_state_answer *state = &answer->states[answer->n_states - 1];
    if (!observed)
        return state->n_readings
                   ? (bp_cell){sorts[state->readings[0].status], state->readings[0].value, NULL}
                   : (bp_cell){BP_CELL_NONE, NAN, NULL};
    for (size_t i = 0; i < state->n_notices; i++)
        if (strcmp(state->notices[i].part, observed) == 0)
            return (bp_cell){BP_CELL_SAYS, NAN, state->notices[i].says};
    return (bp_cell){BP_CELL_SAYS, NAN, ""};
}

/* The likelihood of a pair whose readings were solved. The spread of good parts is taken as it is
 * with the first of the two faults. */
static bool weigh(search *s, pair *x, bp_answer *const *answer, const bool *asked) {
    const bp_posterior *p = s->p;
    bp_given g;
    if (!bp_given_make(p, x->one.row, false, &g))
        return false;
    const size_t n = p->n_evidence;
    double *residual = calloc(n + 1, sizeof *residual);
    double *work = calloc(n * n + 3 * n + 1, sizeof *work);
    double log_category = 0;
    for (size_t i = 0; residual && work && i < n; i++) {
        const size_t reading = s->m->d->reading[i];
        const char *observed =
            reading == BP_NONE ? NULL : bp_casefile_reading(s->m->d->file, reading)->observe;
        size_t k = 0;
        while (k < g.n && g.reading[k] != i)
            k++;
        const bp_cell own = bp_atlas_cell(p->atlas, x->one.row, p->evidence[i].test);
        const bp_cell cell = asked[i] ? cell_of(answer[i], observed) : own;
        if (k < g.n && cell.sort == BP_CELL_VALUE)
            residual[k] = p->evidence[i].value - cell.value - (g.mean[k] - own.value);
        else if (k == g.n)
            log_category += log(bp_category_probability(p->atlas, &p->evidence[i], &cell));
        else
            residual[k] =
                1e3; /* no number where there was one: nothing that a slip does not cover */
    }
    if (residual && work) {
        x->fit = log_category +
                 bp_gauss_log_slips(&g.gauss, residual, p->prior->slip, g.log_slip, NULL, work);
        x->log_weight = log(TWO_AT_ONCE * x->prior) + x->fit;
    }
    bp_given_clear(&g);
    const bool good = residual && work;
    free(residual);
    free(work);
    return good;
}

static bool solve(search *s, bp_report *report) {
    const size_t n = s->p->n_evidence, jobs = s->n_pairs * n;
    bp_question *question = calloc(jobs + 1, sizeof *question);
    bp_answer **answer = calloc(jobs + 1, sizeof *answer);
    bp_pair *leads = calloc(jobs + 1, sizeof *leads);
    bool *asked = calloc(jobs + 1, sizeof *asked), good = question && answer && leads && asked;
    for (size_t k = 0; k < s->n_pairs && good; k++) {
        pair_text(s, &s->pair[k], true, s->pair[k].fault, sizeof s->pair[k].fault);
        for (size_t i = 0; i < n; i++) {
            asked[k * n + i] =
                question_for(s, i, s->pair[k].fault, &leads[k * n + i], &question[k * n + i]);
            if (!asked[k * n + i]) /* any question will do: its answer is not looked at */
                question[k * n + i] = (bp_question)BP_QUESTION_INIT;
        }
    }
    if (good)
        bp_atlas_ask(s->m->d->atlas, question, jobs, answer, report);
    for (size_t k = 0; k < s->n_pairs && good; k++)
        good = weigh(s, &s->pair[k], &answer[k * n], &asked[k * n]);
    for (size_t i = 0; answer && i < jobs; i++)
        bp_answer_free(&answer[i]);
    free(question);
    free(answer);
    free(leads);
    free(asked);
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
        faults.fault[i].severity = row->severity;
    }
    pair_text(s, x, false, text, sizeof text);
    bp_fault_words(s->m->d->circuit, &faults, words, sizeof words);
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
            if (done[i] || fabs(s->pair[i].fit - s->pair[k].fit) > APART)
                continue;
            done[i] = true;
            list[one.n_faults] = fault_of(s, &s->pair[i], exp(s->pair[i].log_weight - log_all));
            one.probability += list[one.n_faults++].probability;
        }
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
    const size_t n = s->p->n_evidence < 64 ? s->p->n_evidence : 64;
    s->all = n == 64 ? ~(uint64_t)0 : ((uint64_t)1 << n) - 1;
    bool good = find_seeds(s);
    if (good)
        find_pairs(s);
    good = good && solve(s, report);
    double log_all = bp_posterior_evidence_log(s->p);
    for (size_t k = 0; k < s->n_pairs && good; k++)
        log_all = bp_log_add(log_all, s->pair[k].log_weight);
    /* What was shared out before is a part of the whole now. */
    const double part = exp(bp_posterior_evidence_log(s->p) - log_all);
    for (size_t i = 0; i < m->n_suspects && good; i++) {
        m->suspect[i].probability *= part;
        for (size_t f = 0; f < m->suspect[i].n_faults; f++)
            ((bp_suspect_fault *)m->suspect[i].faults)[f].probability *= part;
    }
    m->other *= part;
    good = good && add_suspects(s, log_all);
    free(s->seed);
    free(s);
    return good;
}
