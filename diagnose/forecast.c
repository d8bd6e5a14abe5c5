/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/forecast.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/posterior_parts.h"
#include "sim/instrument.h"

/* How many cases a fault gets for each share of the probability, and how many at least and most:
 * likely ones are looked at more closely. */
#define CASES_FOR_ALL 150.0
enum { FEWEST_CASES = 2, MOST_CASES = 12 };
/* Suspects with less than this are not looked at. */
#define FORGOTTEN 1e-4

/* ---- cases ---- */

/* Hypotheses of one suspect: of a fault, or all that are none. */
typedef struct suspect {
    double mass, before; /* before: mass of its hypotheses already passed */
    size_t n_cases, taken;
} suspect;

static size_t suspect_of(const bp_posterior *p, size_t h) {
    const bp_hypothesis *x = bp_posterior_at(p, h);
    const size_t n = bp_atlas_n_faults(bp_posterior_atlas(p));
    return x->sort == BP_HYPOTHESIS_FAULT ? x->fault : x->sort == BP_HYPOTHESIS_HEALTHY ? n : n + 1;
}

static suspect *weigh_suspects(const bp_posterior *p) {
    const size_t n = bp_atlas_n_faults(bp_posterior_atlas(p));
    suspect *s = calloc(n + 2, sizeof *s);
    for (size_t h = 0; s && h < bp_posterior_n(p); h++)
        s[suspect_of(p, h)].mass += bp_posterior_at(p, h)->probability;
    for (size_t i = 0; s && i < n + 2; i++) {
        const double share = ceil(s[i].mass * CASES_FOR_ALL);
        s[i].n_cases = i >= n                 ? 1
                       : share < FEWEST_CASES ? FEWEST_CASES
                       : share > MOST_CASES   ? MOST_CASES
                                              : (size_t)share;
    }
    return s;
}

static bool make_room(bp_forecast *f, size_t n) {
    f->hypothesis = calloc(n + 1, sizeof *f->hypothesis);
    f->fault = calloc(n + 1, sizeof *f->fault);
    f->weight = calloc(n + 1, sizeof *f->weight);
    f->class_of = calloc(n + 1, sizeof *f->class_of);
    return f->hypothesis && f->fault && f->weight && f->class_of;
}

static void add_case(bp_forecast *f, size_t hypothesis, size_t fault, double weight) {
    f->hypothesis[f->n_cases] = hypothesis;
    f->fault[f->n_cases] = fault;
    f->weight[f->n_cases++] = weight;
}

/* A suspect's hypotheses are in the order of how bad it is: the one in which each equal share of
 * its mass has its middle stands for that share. */
static void take_cases(bp_forecast *f, suspect *s) {
    const bp_posterior *p = f->posterior;
    for (size_t h = 0; h < bp_posterior_n(p); h++) {
        suspect *own = &s[suspect_of(p, h)];
        const bp_hypothesis *x = bp_posterior_at(p, h);
        if (own->mass < FORGOTTEN)
            continue;
        own->before += x->probability;
        size_t shares = 0;
        while (own->taken < own->n_cases && own->before >= own->mass * ((double)own->taken + 0.5) /
                                                               (double)own->n_cases * (1 - 1e-12)) {
            own->taken++;
            shares++;
        }
        if (shares > 0)
            add_case(f, h, x->sort == BP_HYPOTHESIS_FAULT ? x->fault : BP_NONE,
                     own->mass * (double)shares / (double)own->n_cases);
    }
    if (bp_posterior_other(p) > 0)
        add_case(f, BP_NONE, BP_NONE, bp_posterior_other(p));
}

bp_forecast *bp_forecast_new(const bp_posterior *p) {
    bp_forecast *f = calloc(1, sizeof *f);
    suspect *s = weigh_suspects(p);
    if (f)
        f->posterior = p;
    if (!f || !s || !make_room(f, bp_posterior_n(p) + 1)) {
        free(s);
        bp_forecast_free(&f);
        return NULL;
    }
    take_cases(f, s);
    free(s);
    double sum = 0;
    for (size_t i = 0; i < f->n_cases; i++)
        sum += f->weight[i];
    for (size_t i = 0; i < f->n_cases; i++)
        f->weight[i] /= sum;
    return f;
}

void bp_forecast_free(bp_forecast **forecast) {
    bp_forecast *f = *forecast;
    if (!f)
        return;
    for (size_t t = 0; t < f->n_tests; t++) {
        if (f->outcomes)
            free(f->outcomes[t].p);
        if (f->range)
            free(f->range[t]);
    }
    free(f->outcomes);
    free(f->range);
    free(f->shown);
    free(f->test);
    free(f->class_of);
    free(f->hypothesis);
    free(f->fault);
    free(f->weight);
    free(f);
    *forecast = NULL;
}

size_t *bp_forecast_rows(const bp_forecast *f, size_t *n) {
    size_t *rows = calloc(2 * f->n_cases + 2, sizeof *rows);
    *n = 0;
    for (size_t i = 0; rows && i < f->n_cases; i++) {
        if (f->hypothesis[i] == BP_NONE)
            continue;
        const bp_hypothesis *h = bp_posterior_at(f->posterior, f->hypothesis[i]);
        const size_t two[2] = {h->row, h->next};
        for (int k = 0; k < 2; k++) {
            size_t at = 0;
            while (at < *n && rows[at] != two[k])
                at++;
            if (at == *n)
                rows[(*n)++] = two[k];
        }
    }
    return rows;
}

/* ---- what tests show ---- */

static bool is_lamp(const bp_test *t) {
    return t->part == BP_NONE && (t->instrument == BP_TEST_LAMP || t->instrument == BP_LED_LAMP);
}

/* The word that a lamp shows; static. */
static const char *lamp_word(const bp_test *t, double value) {
    static const char *const words[] = {"off", "dim", "bright"};
    char shown[24];
    bp_instruments[t->instrument]->show(value, shown, sizeof shown);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i], shown) == 0)
            return words[i];
    return words[0];
}

static bp_shown shown_in(const bp_outlook *outlook, const bp_test *t, size_t test) {
    const bp_predicted p = bp_outlook_predict(outlook, test);
    bp_shown s = {p.sort, (float)p.mean, (float)p.sd, p.says};
    if (p.sort == BP_CELL_VALUE && is_lamp(t)) {
        s.sort = BP_CELL_SAYS;
        s.word = lamp_word(t, p.mean);
    }
    return s;
}

static bool show_all(bp_forecast *f, const size_t *tests, size_t n) {
    bp_outlook *outlook = bp_outlook_new(f->posterior);
    for (size_t i = 0; outlook && i < f->n_cases; i++) {
        if (f->hypothesis[i] != BP_NONE)
            bp_outlook_take(outlook, f->hypothesis[i]);
        for (size_t t = 0; t < n; t++)
            f->shown[t * f->n_cases + i] =
                f->hypothesis[i] == BP_NONE
                    ? (bp_shown){.sort = BP_CELL_NONE}
                    : shown_in(outlook, bp_atlas_test(bp_posterior_atlas(f->posterior), tests[t]),
                               tests[t]);
    }
    const bool good = outlook != NULL;
    bp_outlook_free(&outlook);
    return good;
}

bool bp_forecast_alike(const bp_forecast *f, size_t x, size_t y) {
    for (size_t t = 0; t < f->n_tests; t++) {
        const bp_shown *a = &f->shown[t * f->n_cases + x], *b = &f->shown[t * f->n_cases + y];
        if (a->sort == BP_CELL_NONE || b->sort == BP_CELL_NONE || a->sort == BP_CELL_MISSING ||
            b->sort == BP_CELL_MISSING)
            continue;
        if (a->sort != b->sort)
            return false;
        if (a->sort == BP_CELL_SAYS && strcmp(a->word, b->word) != 0)
            return false;
        if (a->sort == BP_CELL_VALUE && fabsf(a->mean - b->mean) > 2 * fmaxf(a->sd, b->sd))
            return false;
    }
    return true;
}

/* Broken and nearly broken in one place: what to do is the same. */
static bool same_break(const bp_forecast *f, size_t x, size_t y) {
    const bp_atlas *a = bp_posterior_atlas(f->posterior);
    const bp_fault *p = &bp_atlas_fault(a, x)->fault, *q = &bp_atlas_fault(a, y)->fault;
    const bp_mode_decl *m = bp_fault_mode(bp_atlas_circuit(a), p);
    const bp_mode_decl *n = bp_fault_mode(bp_atlas_circuit(a), q);
    return p->part == q->part && m->scope == n->scope && p->sub == q->sub &&
           ((strcmp(m->id, "open") == 0 && strcmp(n->id, "resistance") == 0) ||
            (strcmp(n->id, "open") == 0 && strcmp(m->id, "resistance") == 0));
}

/* Does a fault join a class: is any of its cases like any of the leader's? */
static bool joins(const bp_forecast *f, const size_t *first, size_t fault, size_t leader) {
    if (same_break(f, fault, leader))
        return true;
    for (size_t x = first[fault]; x != BP_NONE && x < f->n_cases; x++)
        for (size_t y = first[leader]; f->fault[x] == fault && y < f->n_cases; y++)
            if (f->fault[y] == leader && bp_forecast_alike(f, x, y))
                return true;
    return false;
}

typedef struct sorting {
    size_t *first;    /* by fault: its first case, or BP_NONE */
    double *mass;     /* by fault */
    size_t *class_of; /* by fault */
    size_t *leader;   /* by class */
    size_t n_faults;
} sorting;

static void sort_in(bp_forecast *f, sorting *s) {
    for (;;) {
        size_t next = BP_NONE;
        for (size_t k = 0; k < s->n_faults; k++)
            if (s->first[k] != BP_NONE && s->class_of[k] == BP_NONE &&
                (next == BP_NONE || s->mass[k] > s->mass[next]))
                next = k;
        if (next == BP_NONE)
            return;
        size_t c = 0;
        while (c < f->n_classes && !joins(f, s->first, next, s->leader[c]))
            c++;
        if (c == f->n_classes)
            s->leader[f->n_classes++] = next;
        s->class_of[next] = c;
    }
}

/* Each class has a leader, the most probable fault that no class before took in. */
static bool make_classes(bp_forecast *f) {
    const size_t n = bp_atlas_n_faults(bp_posterior_atlas(f->posterior));
    sorting s = {calloc(n + 1, sizeof *s.first), calloc(n + 1, sizeof *s.mass),
                 calloc(n + 1, sizeof *s.class_of), calloc(n + 1, sizeof *s.leader), n};
    const bool good = s.first && s.mass && s.class_of && s.leader;
    for (size_t k = 0; good && k < n; k++)
        s.first[k] = s.class_of[k] = BP_NONE;
    for (size_t i = f->n_cases; good && i > 0; i--)
        if (f->fault[i - 1] != BP_NONE) {
            s.first[f->fault[i - 1]] = i - 1;
            s.mass[f->fault[i - 1]] += f->weight[i - 1];
        }
    if (good) {
        sort_in(f, &s);
        for (size_t i = 0; i < f->n_cases; i++)
            f->class_of[i] = f->fault[i] != BP_NONE ? s.class_of[f->fault[i]] : f->n_classes++;
    }
    free(s.first);
    free(s.mass);
    free(s.class_of);
    free(s.leader);
    return good;
}

bp_status bp_forecast_tests(bp_forecast *f, const size_t *tests, size_t n) {
    f->test = calloc(n + 1, sizeof *f->test);
    f->shown = calloc(n * f->n_cases + 1, sizeof *f->shown);
    f->range = calloc(n + 1, sizeof *f->range);
    f->outcomes = calloc(n + 1, sizeof *f->outcomes);
    if (!f->test || !f->shown || !f->range || !f->outcomes || !show_all(f, tests, n))
        return BP_ERR_MEMORY;
    for (size_t t = 0; t < n; t++) {
        f->test[t] = tests[t];
        f->n_tests = t + 1;
        if (!bp_forecast_outcomes(f, t))
            return BP_ERR_MEMORY;
    }
    if (!make_classes(f))
        return BP_ERR_MEMORY;
    f->puzzle = (bp_puzzle){.n_cases = f->n_cases,
                            .n_classes = f->n_classes,
                            .n_tests = f->n_tests,
                            .class_of = f->class_of,
                            .test = f->outcomes,
                            .enough = 0.95,
                            .least = 0.02};
    return BP_OK;
}
