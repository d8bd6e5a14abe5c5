/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The outcomes of a test: ranges of its scale, and words.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/forecast.h"
#include "diagnose/posterior_parts.h"

/* Ranges of a scale at most, and words. */
enum { MOST_RANGES = 40, MOST_WORDS = 24 };
/* So many standard deviations around a case nothing else is to be seen. */
#define AROUND 3.0

static const char over[] = "OL", unsteady[] = "unsteady";

typedef struct number {
    double mean, sd;
} number;

typedef struct scale {
    number *at; /* sorted by mean */
    size_t n;
    double edge[MOST_RANGES + 1]; /* between ranges */
    size_t n_edges;
    const char *word[MOST_WORDS];
    size_t n_words;
} scale;

static int by_mean(const void *x, const void *y) {
    const number *a = x, *b = y;
    return (a->mean > b->mean) - (a->mean < b->mean);
}

static void add_word(scale *s, const char *word) {
    for (size_t i = 0; i < s->n_words; i++)
        if (strcmp(s->word[i], word) == 0)
            return;
    if (s->n_words < MOST_WORDS)
        s->word[s->n_words++] = word;
}

static bool collect(const bp_forecast *f, size_t test, scale *s) {
    s->at = calloc(f->n_cases + 1, sizeof *s->at);
    for (size_t i = 0; s->at && i < f->n_cases; i++) {
        const bp_shown *x = &f->shown[test * f->n_cases + i];
        if (x->sort == BP_CELL_VALUE)
            s->at[s->n++] = (number){(double)x->mean, fmax((double)x->sd, 1e-9)};
        else if (x->sort == BP_CELL_OVER)
            add_word(s, over);
        else if (x->sort == BP_CELL_UNSTEADY)
            add_word(s, unsteady);
        else if (x->sort == BP_CELL_SAYS)
            add_word(s, x->word);
    }
    if (s->at)
        qsort(s->at, s->n, sizeof *s->at, by_mean);
    return s->at != NULL;
}

/* Edges when one range is `wide` standard deviations of what is near: in the middle of gaps, and
 * evenly where cases follow each other closely. Returns how many there would be. */
static size_t cut(scale *s, double wide) {
    size_t n = 0;
    for (size_t i = 0; i + 1 < s->n; i++) {
        const number *a = &s->at[i], *b = &s->at[i + 1];
        const double sd = fmin(a->sd, b->sd), gap = b->mean - a->mean;
        const double last = n > 0 && n <= MOST_RANGES ? s->edge[n - 1] : -INFINITY;
        if (gap > AROUND * (a->sd + b->sd)) {
            if (n < MOST_RANGES)
                s->edge[n] = a->mean + gap * a->sd / (a->sd + b->sd);
            n++;
        } else if (b->mean - last > wide * sd) {
            if (n < MOST_RANGES)
                s->edge[n] = (a->mean + b->mean) / 2;
            n++;
        }
    }
    return n;
}

static void make_edges(scale *s) {
    double wide = 1;
    while ((s->n_edges = cut(s, wide)) >= MOST_RANGES && wide < 1e6)
        wide *= 1.5;
    if (s->n_edges >= MOST_RANGES)
        s->n_edges = MOST_RANGES - 1;
}

/* So many standard deviations from its mean a Gaussian is over as far as a float can tell. */
#define FAR 6.0

static double below(double x, const bp_shown *s) {
    const double z = (x - (double)s->mean) / fmax((double)s->sd, 1e-9);
    return z > FAR ? 1 : z < -FAR ? 0 : 0.5 * erfc(-z / M_SQRT2);
}

/* How people take what is shown: words are told apart as the likelihood has it. */
static void words_of(const bp_forecast *f, size_t test, const scale *s, const bp_shown *x,
                     size_t from, float *p) {
    const bool light = isfinite(x->mean);
    const bp_cell cell = {
        .sort = light ? BP_CELL_VALUE : BP_CELL_SAYS, .value = (double)x->mean, .says = x->word};
    double sum = 0;
    for (size_t k = 0; k < s->n_words; k++) {
        const bp_evidence e = {
            .test = f->test[test], .sort = BP_SEEN_WORD, .value = NAN, .word = s->word[k]};
        const double one = bp_category_probability(bp_posterior_atlas(f->posterior), &e, &cell,
                                                   light ? (double)x->sd : 0);
        p[from + k] = (float)one;
        sum += one;
    }
    for (size_t k = 0; k < s->n_words; k++)
        p[from + k] = (float)((double)p[from + k] / sum);
}

/* False: nothing in particular is shown. */
static bool fill(const bp_forecast *f, size_t test, const scale *s, const bp_shown *x,
                 size_t ranges, float *p) {
    const char *word = x->sort == BP_CELL_OVER       ? over
                       : x->sort == BP_CELL_UNSTEADY ? unsteady
                                                     : NULL;
    if (x->sort == BP_CELL_SAYS) {
        words_of(f, test, s, x, ranges, p);
        return true;
    }
    for (size_t k = 0; word && k < s->n_words; k++)
        p[ranges + k] = s->word[k] == word;
    if (x->sort != BP_CELL_VALUE)
        return word != NULL;
    double last = 0;
    for (size_t k = 0; k < ranges; k++) {
        const double to = k < s->n_edges ? below(s->edge[k], x) : 1;
        p[k] = (float)(to - last);
        last = to;
    }
    return true;
}

/* A slip shows what the test may show at all; so does a case of which nothing is known. */
static void add_slips(const bp_forecast *f, bp_puzzle_test *t, const bool *known, double slip) {
    double all[MOST_RANGES + MOST_WORDS + 1] = {0}, sum = 0;
    const size_t n = t->n_outcomes;
    for (size_t i = 0; i < f->n_cases; i++) {
        if (!known[i])
            continue;
        sum += f->weight[i];
        for (size_t o = 0; o < n; o++)
            all[o] += f->weight[i] * (double)t->p[i * n + o];
    }
    for (size_t i = 0; i < f->n_cases; i++)
        for (size_t o = 0; o < n; o++) {
            const double usual = sum > 0 ? all[o] / sum : 1.0 / (double)n;
            t->p[i * n + o] =
                (float)(known[i] ? (1 - slip) * (double)t->p[i * n + o] + slip * usual : usual);
        }
}

static void name_ranges(const scale *s, size_t ranges, bp_range *range) {
    for (size_t k = 0; k < ranges; k++)
        range[k] = (bp_range){k == 0 ? -INFINITY : s->edge[k - 1],
                              k < s->n_edges ? s->edge[k] : INFINITY, NULL};
    for (size_t k = 0; k < s->n_words; k++)
        range[ranges + k] = (bp_range){NAN, NAN, s->word[k]};
}

bool bp_forecast_outcomes(bp_forecast *f, size_t test) {
    scale s = {.n = 0};
    bool *known = calloc(f->n_cases + 1, sizeof *known);
    bool good = collect(f, test, &s) && known;
    if (good)
        make_edges(&s);
    const size_t ranges = s.n > 0 ? s.n_edges + 1 : 0;
    const size_t n = ranges + s.n_words > 0 ? ranges + s.n_words : 1;
    bp_puzzle_test *t = &f->outcomes[test];
    *t = (bp_puzzle_test){.n_outcomes = n, .n_ordered = ranges};
    t->p = good ? calloc(f->n_cases * n + 1, sizeof *t->p) : NULL;
    f->range[test] = calloc(n + 1, sizeof **f->range);
    good = good && t->p && f->range[test];
    if (good) {
        name_ranges(&s, ranges, f->range[test]);
        for (size_t i = 0; i < f->n_cases; i++)
            known[i] = fill(f, test, &s, &f->shown[test * f->n_cases + i], ranges, &t->p[i * n]);
        add_slips(f, t, known, f->posterior->prior->slip);
    }
    free(s.at);
    free(known);
    return good;
}
