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
/* ... and when that takes more runs than this, a minute of one processor, the readings are left
 * out until others have narrowed the case. */
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

/* What is thought of every row; owned by the caller. */
static share *weigh_rows(const bp_diagnosis *d, const bp_posterior *p) {
    const size_t n = bp_atlas_n_rows(d->atlas);
    share *s = calloc(n + 1, sizeof *s);
    for (size_t r = 0; s && r < n; r++)
        s[r].row = r;
    for (size_t h = 0; s && h < bp_posterior_n(p); h++) {
        const bp_hypothesis *x = bp_posterior_at(p, h);
        s[x->row].probability += x->probability;
        if (x->next != x->row)
            s[x->next].probability += x->probability;
    }
    return s;
}

/* The rows, the most probable first, without which less than LEFT_OUT is left and which lack a
 * cell. */
static size_t choose(const bp_diagnosis *d, share *s, const size_t *test, size_t n_tests,
                     size_t *row) {
    const size_t n_rows = bp_atlas_n_rows(d->atlas);
    double lacking = 0;
    size_t n = 0, n_lacking = 0;
    for (size_t r = 0; r < n_rows; r++) {
        bool lacks = false;
        for (size_t t = 0; t < n_tests; t++)
            lacks = lacks || bp_atlas_cell(d->atlas, r, test[t]).sort == BP_CELL_MISSING;
        if (lacks && s[r].probability > 0)
            s[n_lacking++] = s[r];
    }
    qsort(s, n_lacking, sizeof *s, by_probability);
    for (size_t i = 0; i < n_lacking; i++)
        lacking += s[i].probability;
    for (; n < n_lacking && n < AT_ONCE && lacking > LEFT_OUT; n++) {
        row[n] = s[n].row;
        lacking -= s[n].probability;
    }
    return n;
}

/* The readings that take runs. */
typedef struct hearing {
    bp_diagnosis *d;
    size_t *test, n_tests;
    size_t n_runs; /* each for one row */
    size_t n_ran;  /* rows, so far */
    bp_report *report;
} hearing;

/* One turn: what is still thought likely runs. *n: how many rows did or, more than may, would. */
static bp_status run_rows(hearing *h, size_t *n) {
    bp_diagnosis *d = h->d;
    bp_posterior *p = bp_posterior_new(d->atlas, &d->prior, d->evidence, d->n_evidence);
    share *s = p ? weigh_rows(d, p) : NULL;
    size_t *row = calloc(bp_atlas_n_rows(d->atlas) + 1, sizeof *row);
    bp_status status = s && row ? BP_OK : BP_ERR_MEMORY;
    *n = status == BP_OK ? choose(d, s, h->test, h->n_tests, row) : 0;
    h->n_ran += *n;
    if (*n > 0 && h->n_ran * h->n_runs <= MOST_RUNS)
        status = bp_atlas_want(d->atlas, h->test, h->n_tests, row, *n, h->report);
    free(row);
    free(s);
    bp_posterior_free(&p);
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
    bp_status status = bp_atlas_want(h->d->atlas, h->test, h->n_tests, &good, 1, h->report);
    while (status == BP_OK && n > 0 && h->n_ran * h->n_runs <= MOST_RUNS)
        status = run_rows(h, &n);
    if (status == BP_OK && n > 0 && !leave_out(h->d))
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
    h.n_runs = count_runs(d, h.test, h.n_tests);
    if (status == BP_OK && h.n_tests > 0)
        status = hear(&h);
    free(h.test);
    return status;
}
