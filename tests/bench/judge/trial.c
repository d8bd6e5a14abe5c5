/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/instrument.h"
#include "tests/bench/judge/trial.h"

/* Chosen readings at most, and readings at random. */
enum { MOST_READINGS = 30, MOST_SAMPLED = 12 };
#define ENOUGH 0.95
/* One reading in so many is a slip. */
#define SLIP 0.02

typedef struct trial {
    court *k;
    const suspect *hidden;
    gsl_rng *rng;
    bp_evidence evidence[MOST_READINGS];
    size_t n;
    bp_bench_top *top, *way;
    bp_forecast *forecast;
    bp_report *report;
    double minutes;
    char words[MOST_READINGS][40];
} trial;

/* ---- what the vehicle shows: a fresh solution with its own parts ---- */

static bp_answer *look(trial *t, const bp_test *test, size_t state) {
    const bp_circuit *c = bp_atlas_circuit(t->k->atlas);
    char fault[600], red[128] = "", black[128] = "";
    bp_question q = BP_QUESTION_INIT;
    hidden_text(t->k, t->hidden, fault, sizeof fault);
    bp_pair pair = {c->points[0].id, NULL};
    if (test->red != BP_NONE) {
        bp_face_name(c, test->red, red, sizeof red);
        pair.red = test->red_point != BP_NONE ? c->points[test->red_point].id : red;
    }
    if (test->black != BP_NONE) {
        bp_face_name(c, test->black, black, sizeof black);
        pair.black = test->black_point != BP_NONE ? c->points[test->black_point].id : black;
    }
    q.state = c->states[state].id;
    q.faults = fault;
    q.after = test->after;
    q.n_after = test->n_after;
    q.instrument = test->part == BP_NONE ? test->instrument : BP_VOLTS;
    q.at = test->at == BP_NONE ? NULL : c->parts[test->at].id;
    q.pairs = q.at ? NULL : &pair;
    q.n_pairs = q.at ? 0 : 1;
    q.draw = t->hidden->draw;
    return bp_lab_ask(bp_atlas_lab(t->k->atlas), &q, t->report);
}

/* A slip: key off, a lead on paint, or the feed read instead. */
static double slipped(trial *t, const bp_test *test, double value) {
    const double x = gsl_rng_uniform(t->rng);
    if (x < 0.4)
        return 0;
    if (x < 0.6)
        return 12.4;
    bp_answer *a = look(t, test, 0);
    if (a && a->n_states > 0 && a->states[0].n_readings > 0 &&
        a->states[0].readings[0].status == BP_READING_OK)
        value = a->states[0].readings[0].value;
    bp_answer_free(&a);
    return value;
}

static void take_number(trial *t, const bp_test *test, const bp_reading *r, bp_evidence *e) {
    e->sort = r->status == BP_READING_OK         ? BP_SEEN_VALUE
              : r->status == BP_READING_UNSTEADY ? BP_SEEN_UNSTEADY
                                                 : BP_SEEN_OVER;
    e->value = NAN;
    if (r->status != BP_READING_OK)
        return;
    const double exact = gsl_rng_uniform(t->rng) < SLIP ? slipped(t, test, r->value) : r->value;
    const double count = bp_instruments[test->instrument]->count(exact);
    e->value = exact + gsl_ran_gaussian(t->rng, bp_atlas_meter_sd(test, exact));
    e->value = round(e->value / count) * count;
    e->digit = count / 2;
}

static void read_test(trial *t, size_t at) {
    const bp_test *test = bp_atlas_test(t->k->atlas, at);
    bp_answer *a = look(t, test, test->state);
    const bp_state_answer *s = a && a->n_states > 0 ? &a->states[a->n_states - 1] : NULL;
    bp_evidence *e = &t->evidence[t->n];
    *e = (bp_evidence){.test = at, .present = BP_PRESENT_YES};
    bool good = s && !s->why;
    if (good && test->part != BP_NONE) {
        const char *id = bp_atlas_circuit(t->k->atlas)->parts[test->part].id;
        e->sort = BP_SEEN_WORD;
        for (size_t i = 0; i < s->n_notices; i++)
            if (strcmp(s->notices[i].part, id) == 0)
                snprintf(t->words[t->n], sizeof t->words[0], "%s", s->notices[i].says);
        e->word = t->words[t->n];
    } else if (good && s->n_readings > 0 && s->readings[0].status != BP_READING_NONE)
        take_number(t, test, &s->readings[0], e);
    else
        good = false;
    bp_answer_free(&a);
    t->minutes += bp_test_minutes(t->top, test);
    bp_bench_top_made(t->top, test);
    t->n += good;
}

/* ---- which test ---- */

static double minutes(void *data, const size_t *made, size_t n_made, size_t test) {
    trial *t = data;
    bp_bench_top_take(t->way, t->top);
    for (size_t i = 0; i < n_made; i++)
        bp_bench_top_made(t->way, bp_atlas_test(t->k->atlas, t->forecast->test[made[i]]));
    return bp_test_minutes(t->way, bp_atlas_test(t->k->atlas, t->forecast->test[test]));
}

static bool was_made(const trial *t, size_t test) {
    for (size_t i = 0; i < t->n; i++)
        if (t->evidence[i].test == test)
            return true;
    return false;
}

/* The forecast with the classes of the court. */
static bool foresee(trial *t, const bp_posterior *p) {
    size_t *open = calloc(t->k->n_tests + 1, sizeof *open), n = 0;
    for (size_t i = 0; open && i < t->k->n_tests; i++)
        if (!was_made(t, t->k->test[i]))
            open[n++] = t->k->test[i];
    bp_forecast_free(&t->forecast);
    t->forecast = bp_forecast_new(p);
    bp_forecast *f = t->forecast;
    const bool good = open && f && bp_forecast_tests(f, open, n) == BP_OK;
    for (size_t i = 0; good && i < f->n_cases; i++)
        f->class_of[i] = f->fault[i] != BP_NONE        ? t->k->class_of[f->fault[i]]
                         : f->hypothesis[i] != BP_NONE ? t->k->n_classes - 2
                                                       : t->k->n_classes - 1;
    if (good) {
        f->n_classes = f->puzzle.n_classes = t->k->n_classes;
        f->puzzle.minutes = minutes;
        f->puzzle.data = t;
    }
    free(open);
    return good;
}

/* The place at which as much speaks for good as for bad: volts to the reference, the trouble on. */
static size_t halving(const trial *t) {
    const bp_forecast *f = t->forecast;
    size_t best = BP_PUZZLE_NONE;
    double least = 0.45;
    for (size_t k = 0; k < f->n_tests; k++) {
        const bp_test *x = bp_atlas_test(t->k->atlas, f->test[k]);
        double good = 0;
        if (x->part != BP_NONE || x->black != BP_NONE || x->instrument != BP_VOLTS)
            continue;
        const bp_cell healthy = bp_atlas_cell(t->k->atlas, 0, f->test[k]);
        for (size_t i = 0; i < f->n_cases; i++) {
            const bp_shown *s = &f->shown[k * f->n_cases + i];
            good += s->sort == healthy.sort && (s->sort != BP_CELL_VALUE ||
                                                fabs((double)s->mean - healthy.value) < 0.5)
                        ? f->weight[i]
                        : 0;
        }
        if (fabs(good - 0.5) < least) {
            least = fabs(good - 0.5);
            best = k;
        }
    }
    return best;
}

static size_t at_random(const trial *t) {
    const bp_forecast *f = t->forecast;
    size_t n = 0, chosen = BP_PUZZLE_NONE;
    for (size_t k = 0; k < f->n_tests; k++)
        if (bp_puzzle_gain(&f->puzzle, &f->outcomes[k], f->weight) >= f->puzzle.least &&
            gsl_rng_uniform_int(t->rng, ++n) == 0)
            chosen = k;
    return chosen;
}

static size_t choose(const trial *t, way how) {
    const bp_forecast *f = t->forecast;
    size_t next = how == WAY_RANDOM    ? at_random(t)
                  : how == WAY_HALVING ? halving(t)
                                       : bp_puzzle_best(&f->puzzle, f->weight, NULL, 0, NULL);
    if (how == WAY_HALVING && next == BP_PUZZLE_NONE) /* nothing to halve: whatever tells most */
        next = bp_puzzle_greedy(&f->puzzle, f->weight, NULL, 0, NULL);
    return next;
}

/* ---- the trial ---- */

/* By class; owned by the caller. NULL: no memory. */
static double *shares(const court *k, const bp_posterior *p) {
    double *sum = calloc(k->n_classes + 1, sizeof *sum);
    if (!sum)
        return NULL;
    for (size_t i = 0; i < k->prior.n_faults; i++)
        sum[k->class_of[i]] += bp_posterior_fault(p, i);
    sum[k->n_classes - 2] = bp_posterior_healthy(p) + bp_posterior_absent(p);
    sum[k->n_classes - 1] = bp_posterior_other(p);
    return sum;
}

static size_t leading(const court *k, const double *share) {
    size_t best = 0;
    for (size_t c = 1; c < k->n_classes; c++)
        if (share[c] > share[best])
            best = c;
    return best;
}

static bool step(trial *t, way how, verdict *v, bool *done) {
    bp_posterior *p = bp_posterior_new(t->k->atlas, &t->k->prior, t->evidence, t->n);
    double *share = p ? shares(t->k, p) : NULL;
    bool good = share != NULL;
    *done = true;
    if (good) {
        const size_t first = leading(t->k, share);
        v->right = first == t->hidden->class;
        v->certainty = share[first];
        if (v->certainty < ENOUGH && t->n < MOST_READINGS) {
            good = foresee(t, p);
            const size_t next = good ? choose(t, how) : BP_PUZZLE_NONE;
            *done = next == BP_PUZZLE_NONE;
            if (!*done) {
                const size_t before = t->n;
                read_test(t, t->forecast->test[next]);
                *done = t->n == before;
            }
        }
        if (*done && !v->right && t->k->print_misses)
            print_miss(t->k, t->hidden, p, share);
    }
    free(share);
    bp_posterior_free(&p);
    return good;
}

static bool open_trial(trial *t) {
    t->top = bp_bench_top_new(t->k->atlas);
    t->way = bp_bench_top_new(t->k->atlas);
    if (!t->top || !t->way)
        return false;
    if (t->k->supply != BP_NONE)
        read_test(t, t->k->supply);
    return true;
}

static void close_trial(trial *t) {
    bp_forecast_free(&t->forecast);
    bp_bench_top_free(&t->top);
    bp_bench_top_free(&t->way);
}

bool try_it(court *k, const suspect *hidden, way how, gsl_rng *rng, verdict *v, bp_report *report) {
    trial t = {.k = k, .hidden = hidden, .rng = rng, .report = report};
    bool done = false, good = open_trial(&t);
    while (good && !done)
        good = step(&t, how, v, &done);
    v->tests = t.n;
    v->minutes = t.minutes;
    close_trial(&t);
    return good;
}

bool sample_it(court *k, const suspect *hidden, gsl_rng *rng, calibration *c, bp_report *report) {
    trial t = {.k = k, .hidden = hidden, .rng = rng, .report = report};
    bool good = open_trial(&t);
    const size_t n = 1 + gsl_rng_uniform_int(rng, MOST_SAMPLED);
    for (size_t tries = 0; good && t.n < n && tries < 3 * n; tries++) {
        const size_t test = k->test[gsl_rng_uniform_int(rng, k->n_tests)];
        if (!was_made(&t, test))
            read_test(&t, test);
    }
    bp_posterior *p = good ? bp_posterior_new(k->atlas, &k->prior, t.evidence, t.n) : NULL;
    double *share = p ? shares(k, p) : NULL;
    for (size_t i = 0; share && i < k->n_classes; i++) {
        const size_t at = share[i] >= 1 ? 9 : (size_t)(share[i] * 10);
        c->n[at]++;
        c->right[at] += i == hidden->class;
        c->sum[at] += share[i];
    }
    good = share != NULL;
    free(share);
    bp_posterior_free(&p);
    close_trial(&t);
    return good;
}
