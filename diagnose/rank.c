/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/rank.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/posterior_parts.h"

/* Two standard deviations apart is apart; as a ratio of probabilities that is e^2. */
#define APART 2.0

size_t bp_rank_best(const bp_posterior *p, size_t fault) {
    size_t best = BP_NONE;
    for (size_t h = 0; h < p->n; h++) {
        const bp_hypothesis *x = &p->hypothesis[h];
        if (x->sort == BP_HYPOTHESIS_FAULT && x->fault == fault &&
            (best == BP_NONE || x->fit > p->hypothesis[best].fit))
            best = h;
    }
    return best;
}

/* What a hypothesis says that a test shows: the spread of good parts is in the standard deviation.
 */
typedef struct shown {
    bp_cell_sort sort;
    double mean, sd;
    const char *says;
} shown;

static shown shown_under(const bp_posterior *p, size_t hypothesis, size_t test) {
    const bp_hypothesis *h = &p->hypothesis[hypothesis];
    const size_t row = h->between > 0.5 ? h->next : h->row;
    const bp_cell cell = bp_atlas_cell(p->atlas, row, test);
    shown s = {cell.sort, cell.value, 0, cell.says};
    if (cell.sort != BP_CELL_VALUE)
        return s;
    if (h->between > 0)
        bp_atlas_along(p->atlas, h->row, test, &h->between, 1, &s.mean);
    double *moves = malloc((p->prior->n_spreads + 1) * sizeof *moves), own = 0;
    const double meter = bp_atlas_meter_sd(bp_atlas_test(p->atlas, test), s.mean);
    s.sd = meter * meter;
    if (moves) {
        bp_atlas_moves(p->atlas, row, test, moves, &own);
        for (size_t q = 0; q < p->prior->n_spreads; q++)
            s.sd += moves[q] * moves[q];
    }
    free(moves);
    s.sd = sqrt(s.sd + own * own);
    return s;
}

static bool differ(const shown *a, const shown *b) {
    if (a->sort != b->sort)
        return true;
    if (a->sort == BP_CELL_SAYS)
        return strcmp(a->says, b->says) != 0;
    return a->sort == BP_CELL_VALUE && fabs(a->mean - b->mean) > APART * fmax(a->sd, b->sd);
}

typedef struct ranking {
    const bp_posterior *p;
    const size_t *test;
    size_t n_tests, n_faults;
    size_t *best;  /* by fault */
    shown *shown;  /* by fault, test */
    size_t *order; /* faults that are alive, the most probable first */
    size_t n_alive;
    size_t *class_of, *leader; /* leader by class */
    double *sum;               /* by class */
    size_t n_classes;
    bool by_fit;
} ranking;

static bool belongs(const ranking *r, size_t fault, size_t leader) {
    if (r->by_fit &&
        fabs(r->p->hypothesis[r->best[fault]].fit - r->p->hypothesis[r->best[leader]].fit) > APART)
        return false;
    for (size_t t = 0; t < r->n_tests; t++)
        if (differ(&r->shown[fault * r->n_tests + t], &r->shown[leader * r->n_tests + t]))
            return false;
    return true;
}

/* Inserts by probability; there are a few hundred faults at most. */
static void put_in_order(ranking *r, size_t fault) {
    const double own = r->p->fault[fault];
    size_t at = r->n_alive++;
    for (; at > 0 && r->p->fault[r->order[at - 1]] < own; at--)
        r->order[at] = r->order[at - 1];
    r->order[at] = fault;
}

static void sort_in(ranking *r) {
    for (size_t i = 0; i < r->n_alive; i++) {
        const size_t f = r->order[i];
        size_t k = 0;
        while (k < r->n_classes && !belongs(r, f, r->leader[k]))
            k++;
        if (k == r->n_classes)
            r->leader[r->n_classes++] = f;
        r->class_of[f] = k;
        r->sum[k] += r->p->fault[f];
    }
}

/* Numbers the classes by their total probability. */
static bool renumber(ranking *r) {
    size_t *now = malloc((r->n_classes + 1) * sizeof *now);
    if (!now)
        return false;
    for (size_t k = 0; k < r->n_classes; k++) {
        now[k] = 0;
        for (size_t j = 0; j < r->n_classes; j++)
            now[k] += r->sum[j] > r->sum[k] || (r->sum[j] == r->sum[k] && j < k);
    }
    for (size_t f = 0; f < r->n_faults; f++)
        if (r->class_of[f] != BP_NONE)
            r->class_of[f] = now[r->class_of[f]];
    free(now);
    return true;
}

static size_t rank(const bp_posterior *p, const size_t *tests, size_t n, bool by_fit,
                   size_t *class_of) {
    const size_t n_faults = bp_atlas_n_faults(p->atlas);
    ranking r = {.p = p,
                 .test = tests,
                 .n_tests = n,
                 .n_faults = n_faults,
                 .best = calloc(n_faults + 1, sizeof *r.best),
                 .shown = calloc(n_faults * n + 1, sizeof *r.shown),
                 .order = calloc(n_faults + 1, sizeof *r.order),
                 .class_of = class_of,
                 .leader = calloc(n_faults + 1, sizeof *r.leader),
                 .sum = calloc(n_faults + 1, sizeof *r.sum),
                 .by_fit = by_fit};
    bool good = r.best && r.shown && r.order && r.leader && r.sum;
    for (size_t f = 0; f < n_faults && good; f++) {
        class_of[f] = BP_NONE;
        r.best[f] = bp_rank_best(p, f);
        if (r.best[f] == BP_NONE)
            continue;
        for (size_t t = 0; t < n; t++)
            r.shown[f * n + t] = shown_under(p, r.best[f], tests[t]);
        put_in_order(&r, f);
    }
    if (good)
        sort_in(&r);
    good = good && renumber(&r);
    free(r.best);
    free(r.shown);
    free(r.order);
    free(r.leader);
    free(r.sum);
    return good ? r.n_classes : (size_t)-1;
}

size_t bp_rank_classes(const bp_posterior *p, size_t *class_of) {
    size_t *tests = calloc(p->n_evidence + 1, sizeof *tests), n = 0;
    if (!tests)
        return (size_t)-1;
    for (size_t i = 0; i < p->n_evidence; i++)
        if (p->evidence[i].present != BP_PRESENT_NO) /* then it says nothing of any fault */
            tests[n++] = p->evidence[i].test;
    const size_t classes = rank(p, tests, n, true, class_of);
    free(tests);
    return classes;
}

size_t bp_rank_classes_by(const bp_posterior *p, const size_t *tests, size_t n, size_t *class_of) {
    return rank(p, tests, n, false, class_of);
}
