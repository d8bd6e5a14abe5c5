/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings of what pulses. What a row makes of them takes a run, a tenth of a second or so; there
 * are hundreds of rows. So the rows that are thought likely run first; one that has not run counts
 * as one where the test shows nothing in particular.
 */
#include <stdlib.h>

#include "diagnose/diagnosis.h"

/* Rows run until those that have not run hold no more than this of what is thought. */
#define LEFT_OUT 0.05
/* The likeliest so many at a time, since what they make of the readings may settle it. */
enum { AT_ONCE = 40 };
/* ... but only those that are the likeliest so many by all other readings, a minute or so of one
 * processor: where more would have to run, the readings are left out until others have narrowed the
 * case. */
enum { MOST_RUNS = 160 };

typedef struct share {
    size_t row;
    double probability;
} share;

static int by_probability(const void *x, const void *y) {
    const share *a = x, *b = y;
    if (a->probability != b->probability)
        return a->probability > b->probability ? -1 : 1;
    return a->row < b->row ? -1 : a->row > b->row;
}

/* What is thought of every row by these readings; owned by the caller, NULL: no memory. */
static share *weigh_rows(const bp_diagnosis *d, const bp_evidence *evidence, size_t n_evidence) {
    const size_t n = bp_atlas_n_rows(d->atlas);
    bp_posterior *p = bp_posterior_new(d->atlas, &d->prior, evidence, n_evidence);
    share *s = p ? calloc(n + 1, sizeof *s) : NULL;
    for (size_t r = 0; s && r < n; r++)
        s[r].row = r;
    for (size_t h = 0; s && h < bp_posterior_n(p); h++) {
        const bp_hypothesis *x = bp_posterior_at(p, h);
        s[x->row].probability += x->probability;
        if (x->next != x->row)
            s[x->next].probability += x->probability;
    }
    bp_posterior_free(&p);
    return s;
}

/* The readings that take runs. */
typedef struct hearing {
    bp_diagnosis *d;
    size_t *test, n_tests;
    bool *may_run; /* by row */
    bp_report *report;
} hearing;

static bool lacks_cell(const hearing *h, size_t row) {
    for (size_t t = 0; t < h->n_tests; t++)
        if (bp_atlas_cell(h->d->atlas, row, h->test[t]).sort == BP_CELL_MISSING)
            return true;
    return false;
}

/* What is thought of all rows that lack a cell; of them the most probable that may run go to `row`,
 * until no more than LEFT_OUT lack any. */
static double choose(const hearing *h, share *s, size_t *row, size_t *n) {
    const size_t n_rows = bp_atlas_n_rows(h->d->atlas);
    double lacking = 0;
    size_t n_lacking = 0;
    for (size_t r = 0; r < n_rows; r++)
        if (s[r].probability > 0 && lacks_cell(h, r)) {
            lacking += s[r].probability;
            s[n_lacking++] = s[r];
        }
    qsort(s, n_lacking, sizeof *s, by_probability);
    double left = lacking;
    *n = 0;
    for (size_t i = 0; i < n_lacking && *n < AT_ONCE && left > LEFT_OUT; i++)
        if (h->may_run[s[i].row]) {
            row[(*n)++] = s[i].row;
            left -= s[i].probability;
        }
    return lacking;
}

/* One turn: what is still thought likely runs. *n: how many rows did; *lacking: what was thought
 * of all that had not, before. */
static bp_status run_rows(hearing *h, size_t *n, double *lacking) {
    bp_diagnosis *d = h->d;
    share *s = weigh_rows(d, d->evidence, d->n_evidence);
    size_t *row = calloc(AT_ONCE, sizeof *row);
    bp_status status = s && row ? BP_OK : BP_ERR_MEMORY;
    *n = 0;
    if (status == BP_OK)
        *lacking = choose(h, s, row, n);
    if (*n > 0)
        status = bp_atlas_want(d->atlas, h->test, h->n_tests, row, *n, h->report);
    free(row);
    free(s);
    return status;
}

/* A reading of what was not there at that moment is compared with the good circuit only. */
static bool takes_runs(const bp_diagnosis *d, size_t i) {
    return bp_atlas_takes_runs(d->atlas, d->evidence[i].test) &&
           d->evidence[i].present != BP_PRESENT_NO;
}

static size_t count_runs(const bp_diagnosis *d, const size_t *test, size_t n) {
    size_t runs = 0;
    for (size_t i = 0; i < n; i++) {
        size_t k = 0;
        while (k < i &&
               bp_atlas_test(d->atlas, test[k])->state != bp_atlas_test(d->atlas, test[i])->state)
            k++;
        runs += k == i;
    }
    return runs;
}

/* Marks the rows that may run: the same, however often the case is asked about. */
static bp_status choose_runners(hearing *h) {
    const bp_diagnosis *d = h->d;
    const size_t n_rows = bp_atlas_n_rows(d->atlas), n_runs = count_runs(d, h->test, h->n_tests);
    bp_evidence *others = calloc(d->n_evidence + 1, sizeof *others);
    size_t n = 0;
    for (size_t i = 0; others && i < d->n_evidence; i++)
        if (!takes_runs(d, i))
            others[n++] = d->evidence[i];
    share *s = others ? weigh_rows(d, others, n) : NULL;
    h->may_run = s ? calloc(n_rows + 1, sizeof *h->may_run) : NULL;
    if (h->may_run) {
        qsort(s, n_rows, sizeof *s, by_probability);
        for (size_t i = 0; i < n_rows && i * n_runs < MOST_RUNS; i++)
            h->may_run[s[i].row] = true;
    }
    free(s);
    free(others);
    return h->may_run ? BP_OK : BP_ERR_MEMORY;
}

/* Puts the readings that take runs behind those that count. */
static bool leave_out(bp_diagnosis *d) {
    bp_evidence *evidence = calloc(d->n_evidence + 2, sizeof *evidence);
    size_t *reading = calloc(d->n_evidence + 2, sizeof *reading), n = 0;
    for (int out = 0; evidence && reading && out < 2; out++) {
        for (size_t i = 0; i < d->n_evidence; i++)
            if (takes_runs(d, i) == (out == 1)) {
                evidence[n] = d->evidence[i];
                reading[n++] = d->reading[i];
            }
        if (out == 0)
            d->n_left_out = d->n_evidence - n;
    }
    if (!evidence || !reading) {
        free(evidence);
        free(reading);
        return false;
    }
    free(d->evidence);
    free(d->reading);
    d->evidence = evidence;
    d->reading = reading;
    d->n_evidence -= d->n_left_out;
    return true;
}

/* The good circuit's means first: they tell whether the tests can be made at all. */
static bp_status hear(hearing *h) {
    static const size_t good = 0;
    size_t n = 1;
    double lacking = 1;
    bp_status status = bp_atlas_want(h->d->atlas, h->test, h->n_tests, &good, 1, h->report);
    if (status == BP_OK)
        status = choose_runners(h);
    while (status == BP_OK && n > 0)
        status = run_rows(h, &n, &lacking);
    if (status == BP_OK && lacking > LEFT_OUT && !leave_out(h->d))
        status = BP_ERR_MEMORY;
    return status;
}

bp_status bp_diagnosis_want_means(bp_diagnosis *d, bp_report *report) {
    static const size_t good = 0;
    hearing h = {.d = d, .test = calloc(d->n_evidence + 1, sizeof *h.test), .report = report};
    bp_status status = h.test ? BP_OK : BP_ERR_MEMORY;
    for (size_t i = 0; status == BP_OK && i < d->n_evidence; i++)
        if (takes_runs(d, i))
            h.test[h.n_tests++] = d->evidence[i].test;
        else if (bp_atlas_takes_runs(d->atlas, d->evidence[i].test))
            status = bp_atlas_want(d->atlas, &d->evidence[i].test, 1, &good, 1, report);
    if (status == BP_OK && h.n_tests > 0)
        status = hear(&h);
    free(h.may_run);
    free(h.test);
    return status;
}
