/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/pair_fit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_multimin.h>

#include "diagnose/atlas_parts.h"
#include "diagnose/casefile_parts.h"
#include "diagnose/posterior_parts.h"

/* Steps of the search, and how near it comes, as a part of a mode's range. */
enum { MOST_STEPS = 40 };
#define FIRST_STEP 0.08
#define NEAR_ENOUGH 0.002

/* Readings that one question answers. */
typedef struct bundle {
    bp_question question;
    size_t first; /* its readings are order[first] .. */
    size_t n;
} bundle;

struct bp_pair_fitter {
    const bp_diagnosis *d;
    const bp_posterior *p;
    bp_report *report;
    bp_pair *leads; /* by evidence in the order of `order` */
    size_t *order;  /* evidence, bundle by bundle */
    bundle *bundle;
    size_t n_bundles;
    double *residual, *work;
    /* The run at hand. */
    bp_fault_case faults;
    double low[2], range[2]; /* on the modes' scales */
    size_t dimension[2];     /* which faults have degrees */
    size_t n_dimensions;
    bp_given given; /* the spread of good parts, as with the first fault */
    double best, best_severity[2];
    bool failed;
};

static const bp_case_reading *reading_of(const bp_pair_fitter *f, size_t i) {
    const size_t reading = f->d->reading[i];
    return reading == BP_NONE ? NULL : bp_casefile_reading(f->d->file, reading);
}

/* Does a second fault have a say in this reading at all? What it does to a mean would take a run at
 * every step, and is not worked out. */
static bool is_asked(const bp_pair_fitter *f, size_t i) {
    return reading_of(f, i) && f->p->evidence[i].present != BP_PRESENT_NO &&
           !bp_atlas_takes_runs(f->p->atlas, f->p->evidence[i].test);
}

/* Bundles the readings; an observation goes with whatever is read in its state. */
static void make_bundles(bp_pair_fitter *f) {
    const size_t n = f->p->n_evidence;
    size_t placed = 0;
    for (size_t i = 0; i < n; i++) {
        bool seen = !is_asked(f, i);
        for (size_t k = 0; k < placed && !seen; k++)
            seen = f->order[k] == i;
        if (seen)
            continue;
        bundle *b = &f->bundle[f->n_bundles++];
        b->first = placed;
        b->question = bp_casefile_question(f->d->file, reading_of(f, i), &f->leads[placed]);
        for (size_t j = i; j < n; j++) {
            const bp_test *own = bp_atlas_test(f->p->atlas, f->p->evidence[i].test);
            const bp_test *other = bp_atlas_test(f->p->atlas, f->p->evidence[j].test);
            if (!is_asked(f, j) || (own->part == BP_NONE) != (other->part == BP_NONE) ||
                !bp_test_asked_together(own, other))
                continue;
            bp_casefile_question(f->d->file, reading_of(f, j), &f->leads[placed]);
            f->order[placed++] = j;
            b->n++;
        }
        if (b->question.pairs) {
            b->question.pairs = &f->leads[b->first];
            b->question.n_pairs = b->n;
        }
    }
}

bp_pair_fitter *bp_pair_fitter_new(const bp_diagnosis *d, bp_report *report) {
    bp_pair_fitter *f = calloc(1, sizeof *f);
    if (!f)
        return NULL;
    const size_t n = d->n_evidence;
    f->d = d;
    f->p = d->posterior;
    f->report = report;
    f->leads = calloc(n + 1, sizeof *f->leads);
    f->order = calloc(n + 1, sizeof *f->order);
    f->bundle = calloc(n + 1, sizeof *f->bundle);
    f->residual = calloc(n + 1, sizeof *f->residual);
    f->work = calloc(n * n + 3 * n + 1, sizeof *f->work);
    if (!f->leads || !f->order || !f->bundle || !f->residual || !f->work)
        bp_pair_fitter_free(&f);
    else
        make_bundles(f);
    return f;
}

void bp_pair_fitter_free(bp_pair_fitter **fitter) {
    if (!*fitter)
        return;
    free((*fitter)->leads);
    free((*fitter)->order);
    free((*fitter)->bundle);
    free((*fitter)->residual);
    free((*fitter)->work);
    free(*fitter);
    *fitter = NULL;
}

static bp_cell cell_of(const bp_answer *answer, size_t place, const char *observed) {
    static const bp_cell_sort sorts[] = {[BP_READING_OK] = BP_CELL_VALUE,
                                         [BP_READING_OVER] = BP_CELL_OVER,
                                         [BP_READING_UNSTEADY] = BP_CELL_UNSTEADY,
                                         [BP_READING_NONE] = BP_CELL_NONE};
    const bp_state_answer *s =
        answer && answer->n_states ? &answer->states[answer->n_states - 1] : NULL;
    if (!s || s->why || (!observed && place >= s->n_readings))
        return (bp_cell){BP_CELL_NONE, NAN, NULL};
    if (!observed)
        return (bp_cell){sorts[s->readings[place].status], s->readings[place].value, NULL};
    for (size_t i = 0; i < s->n_notices; i++)
        if (strcmp(s->notices[i].part, observed) == 0)
            return (bp_cell){BP_CELL_SAYS, NAN, s->notices[i].says};
    return (bp_cell){BP_CELL_SAYS, NAN, ""};
}

/* Takes one reading into the residuals or, as a category, into the returned log probability. */
static double take(bp_pair_fitter *f, size_t i, const bp_cell *cell) {
    const bp_given *g = &f->given;
    const bp_evidence *e = &f->p->evidence[i];
    size_t k = 0;
    while (k < g->n && g->reading[k] != i)
        k++;
    if (k == g->n) /* no number in the row that the spread is taken from */
        return log(bp_category_probability(f->p->atlas, e, cell, 0));
    const bp_cell own = bp_atlas_cell(f->p->atlas, g->source[k], e->test);
    /* No number where there was one: nothing that a slip does not cover. */
    f->residual[k] =
        cell->sort == BP_CELL_VALUE ? e->value - cell->value - (g->mean[k] - own.value) : 1e3;
    return 0;
}

static double likelihood(bp_pair_fitter *f, bp_answer *const *answer) {
    const bp_given *g = &f->given;
    double sum = 0;
    for (size_t k = 0; k < g->n; k++) /* what no second fault changes */
        f->residual[k] = f->p->evidence[g->reading[k]].value - g->mean[k];
    for (size_t b = 0; b < f->n_bundles; b++)
        for (size_t j = 0; j < f->bundle[b].n; j++) {
            const size_t i = f->order[f->bundle[b].first + j];
            const bp_cell cell = cell_of(answer[b], j, reading_of(f, i)->observe);
            sum += take(f, i, &cell);
        }
    return sum + bp_gauss_log_slips(&g->gauss, f->residual, f->p->prior->slip, g->log_slip, NULL,
                                    f->work);
}

/* Less the log likelihood at a place, each coordinate a part of its mode's range. */
static double miss(const gsl_vector *at, void *data) {
    bp_pair_fitter *f = data;
    char text[600];
    double outside = 0;
    for (size_t k = 0; k < f->n_dimensions; k++) {
        const size_t i = f->dimension[k];
        const double x = gsl_vector_get(at, k), in = fmin(fmax(x, 0), 1);
        const bp_mode_decl *mode = bp_fault_mode(f->d->circuit, &f->faults.fault[i]);
        const double scale = f->low[i] + in * f->range[i];
        outside += fabs(x - in);
        f->faults.fault[i].severity = mode->scale == BP_SCALE_LOG ? exp(scale) : scale;
    }
    bp_fault_write(f->d->circuit, &f->faults, text, sizeof text);
    bp_answer **answer = calloc(f->n_bundles + 1, sizeof *answer);
    bp_question *question = calloc(f->n_bundles + 1, sizeof *question);
    double found = -INFINITY;
    if (answer && question) {
        for (size_t b = 0; b < f->n_bundles; b++) {
            question[b] = f->bundle[b].question;
            question[b].faults = text;
        }
        bp_lab_ask_many(bp_atlas_lab(f->d->atlas), question, f->n_bundles, answer, NULL, NULL,
                        f->report);
        found = likelihood(f, answer);
    } else
        f->failed = true;
    for (size_t b = 0; answer && b < f->n_bundles; b++)
        bp_answer_free(&answer[b]);
    free(answer);
    free(question);
    if (found > f->best && outside == 0) {
        f->best = found;
        for (int i = 0; i < 2; i++)
            f->best_severity[i] = f->faults.fault[i].severity;
    }
    return fmin(-found, 1e6) + 100 * outside;
}

/* Where the search begins: at the rows' own severities. */
static void begin(bp_pair_fitter *f, const size_t rows[2], double start[2]) {
    f->faults = (bp_fault_case){.n = 2};
    f->n_dimensions = 0;
    f->best = -INFINITY;
    for (size_t i = 0; i < 2; i++) {
        const bp_atlas_row *row = bp_atlas_row_at(f->p->atlas, rows[i]);
        const bp_fault *fault = &bp_atlas_fault(f->p->atlas, row->fault)->fault;
        const bp_mode_decl *mode = bp_fault_mode(f->d->circuit, fault);
        f->faults.fault[i] = *fault;
        f->faults.fault[i].severity = row->severity;
        f->best_severity[i] = row->severity;
        if (mode->scale == BP_SCALE_NONE)
            continue;
        f->low[i] = bp_atlas_scale(f->p->atlas, row->fault, mode->lo);
        f->range[i] = bp_atlas_scale(f->p->atlas, row->fault, mode->hi) - f->low[i];
        start[f->n_dimensions] =
            (bp_atlas_scale(f->p->atlas, row->fault, row->severity) - f->low[i]) / f->range[i];
        f->dimension[f->n_dimensions++] = i;
    }
}

static bool minimise(bp_pair_fitter *f, const double start[2]) {
    const size_t n = f->n_dimensions;
    gsl_vector *at = gsl_vector_alloc(n), *step = gsl_vector_alloc(n);
    gsl_multimin_fminimizer *m =
        gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, n);
    gsl_multimin_function function = {miss, n, f};
    bool good = at && step && m;
    for (size_t k = 0; k < n && good; k++) {
        gsl_vector_set(at, k, start[k]);
        gsl_vector_set(step, k, start[k] > 0.5 ? -FIRST_STEP : FIRST_STEP);
    }
    if (good)
        gsl_multimin_fminimizer_set(m, &function, at, step);
    for (int i = 0; i < MOST_STEPS && good && !f->failed; i++)
        if (gsl_multimin_fminimizer_iterate(m) != GSL_SUCCESS ||
            gsl_multimin_fminimizer_size(m) < NEAR_ENOUGH)
            break;
    if (m)
        gsl_multimin_fminimizer_free(m);
    gsl_vector_free(at);
    gsl_vector_free(step);
    return good && !f->failed;
}

bool bp_pair_fitter_run(bp_pair_fitter *f, size_t one, size_t two, bp_pair_fit *fit) {
    const size_t rows[2] = {one, two};
    double start[2] = {0, 0};
    if (!bp_given_make(f->p, one, false, &f->given))
        return false;
    begin(f, rows, start);
    bool good = true;
    if (f->n_dimensions == 0) {
        gsl_vector *nowhere = gsl_vector_alloc(1);
        miss(nowhere, f);
        gsl_vector_free(nowhere);
        good = !f->failed;
    } else
        good = minimise(f, start);
    bp_given_clear(&f->given);
    *fit = (bp_pair_fit){{f->best_severity[0], f->best_severity[1]}, f->best, f->best};
    /* A degree that had to be chosen to about a fiftieth of its range was that much less likely to
     * be so. */
    fit->log_evidence -= (double)f->n_dimensions * log(50);
    return good;
}
