/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The choice of the next test: by bits a minute, and by trying out where each of the best few
 * leads.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/puzzle.h"

/* Outcomes less probable than this are not followed further. */
#define UNLIKELY 0.002
/* No chain of tests is followed further than this. */
enum { DEEPEST = 40 };
/* Looking ahead: tests that are followed, those of them that are tried out first, and cases up to
 * which that is cheap. */
enum { FOLLOWED = 30, TRIED = 6, CHEAP = 80 };

static double minutes_of(const bp_puzzle *z, const size_t *made, size_t n_made, size_t test) {
    return z->minutes ? z->minutes(z->data, made, n_made, test) : 1;
}

static bool was_made(const size_t *made, size_t n_made, size_t test) {
    for (size_t i = 0; i < n_made; i++)
        if (made[i] == test)
            return true;
    return false;
}

size_t bp_puzzle_greedy(const bp_puzzle *z, const double *weight, const size_t *made, size_t n_made,
                        bp_puzzle_score *score) {
    size_t best = BP_PUZZLE_NONE;
    double most = 0;
    const bool solved = bp_puzzle_lead(z, weight) >= z->enough;
    if (solved && !score)
        return BP_PUZZLE_NONE;
    for (size_t t = 0; t < z->n_tests; t++) {
        const bool tells = z->test[t].n_outcomes > 1 && !was_made(made, n_made, t);
        const double bits = tells ? bp_puzzle_gain(z, &z->test[t], weight) : 0;
        const double minutes = bits >= z->least || score ? minutes_of(z, made, n_made, t) : 1;
        if (score)
            score[t] = (bp_puzzle_score){bits, minutes};
        if (!solved && bits >= z->least && bits / minutes > most * (1 + 1e-9)) {
            most = bits / minutes;
            best = t;
        }
    }
    return best;
}

/* A chain of tests and how far it is followed. */
typedef struct chase {
    const bp_puzzle *z;
    size_t *made;
    double rare;    /* what comes about less often than this ... */
    double per_bit; /* ... is taken to need so many minutes for each bit that is left */
} chase;

/* Minutes from here when `test` is made and then the greedy one each time; `reached`: how probable
 * it is to come here at all. */
static double follow(const chase *c, const double *weight, size_t n_made, size_t test,
                     double reached) {
    const bp_puzzle *z = c->z;
    double sum = minutes_of(z, c->made, n_made, test);
    double *after = malloc((z->n_cases + 1) * sizeof *after);
    if (!after)
        return NAN;
    c->made[n_made] = test;
    for (size_t o = 0; o < z->test[test].n_outcomes && n_made + 1 < DEEPEST; o++) {
        const double p = bp_puzzle_after(z, &z->test[test], weight, o, after);
        if (p < UNLIKELY || bp_puzzle_lead(z, after) >= z->enough)
            continue;
        if (p * reached < c->rare) {
            sum += p * c->per_bit * bp_puzzle_entropy(z, after);
            continue;
        }
        const size_t next = bp_puzzle_greedy(z, after, c->made, n_made + 1, NULL);
        if (next != BP_PUZZLE_NONE)
            sum += p * follow(c, after, n_made + 1, next, p * reached);
        c->made[n_made] = test;
    }
    free(after);
    return sum;
}

static size_t *room_for_made(const size_t *made, size_t n_made) {
    size_t *copy = malloc((n_made + DEEPEST + 1) * sizeof *copy);
    if (copy && n_made > 0)
        memcpy(copy, made, n_made * sizeof *copy);
    return copy;
}

double bp_puzzle_greedy_minutes(const bp_puzzle *z, const double *weight, const size_t *made,
                                size_t n_made) {
    const size_t first = bp_puzzle_greedy(z, weight, made, n_made, NULL);
    size_t *copy = room_for_made(made, n_made);
    const chase c = {z, copy, 0, 0};
    const double sum = !copy                     ? NAN
                       : first == BP_PUZZLE_NONE ? 0
                                                 : follow(&c, weight, n_made, first, 1);
    free(copy);
    return sum;
}

/* Cases with less than this share are not followed. */
#define SLIGHT 1e-3

/* A smaller puzzle: cases that count, outcomes by groups. */
typedef struct small {
    bp_puzzle z;
    size_t *class_of;
    double *weight;
    bp_puzzle_test *test;
    bool good;
} small;

static void small_clear(small *s) {
    for (size_t t = 0; s->test && t < s->z.n_tests; t++)
        free(s->test[t].p);
    free(s->test);
    free(s->class_of);
    free(s->weight);
}

/* The rows of the cases that count. */
static bp_puzzle_test take_rows(const bp_puzzle_test *t, const size_t *kept, size_t n) {
    bp_puzzle_test out = *t;
    out.p = malloc((n * t->n_outcomes + 1) * sizeof *out.p);
    for (size_t i = 0; out.p && i < n; i++)
        memcpy(&out.p[i * t->n_outcomes], &t->p[kept[i] * t->n_outcomes],
               t->n_outcomes * sizeof *out.p);
    return out;
}

static bool take_test(small *s, const bp_puzzle_test *t, const size_t *kept, size_t at) {
    enum { RANGES = 5 };
    size_t *first = calloc(t->n_outcomes + 2, sizeof *first);
    bp_puzzle_test rows = take_rows(t, kept, s->z.n_cases);
    const size_t n = first && rows.p ? bp_puzzle_join(&s->z, &rows, s->weight, RANGES, first) : 0;
    if (n > 0)
        s->test[at] = bp_puzzle_joined(&s->z, &rows, first, n);
    free(rows.p);
    free(first);
    return s->test[at].p != NULL;
}

/* Classes numbered anew, only those that are left. */
static bool renumber(small *s, size_t n_classes) {
    size_t *now = calloc(n_classes + 1, sizeof *now);
    s->z.n_classes = 0;
    for (size_t i = 0; now && i < s->z.n_cases; i++) {
        size_t *own = &now[s->class_of[i]];
        if (*own == 0)
            *own = ++s->z.n_classes;
        s->class_of[i] = *own - 1;
    }
    free(now);
    return now != NULL;
}

static size_t take_cases(small *s, const bp_puzzle *z, const double *weight, size_t *kept) {
    double sum = 0;
    size_t n = 0;
    for (size_t i = 0; i < z->n_cases; i++)
        sum += weight[i];
    for (size_t i = 0; i < z->n_cases; i++)
        if (weight[i] > SLIGHT * sum) {
            kept[n] = i;
            s->class_of[n] = z->class_of[i];
            s->weight[n++] = weight[i];
        }
    return n;
}

/* `follow` by test; all others tell nothing in the small puzzle. */
static small make_small(const bp_puzzle *z, const double *weight, const bool *followed) {
    static const bp_puzzle_test dumb = {.n_outcomes = 1};
    small s = {.z = *z};
    size_t *kept = calloc(z->n_cases + 1, sizeof *kept);
    s.class_of = calloc(z->n_cases + 1, sizeof *s.class_of);
    s.weight = calloc(z->n_cases + 1, sizeof *s.weight);
    s.test = calloc(z->n_tests + 1, sizeof *s.test);
    s.z.class_of = s.class_of;
    s.z.test = s.test;
    s.good = kept && s.class_of && s.weight && s.test;
    if (s.good) {
        s.z.n_cases = take_cases(&s, z, weight, kept);
        s.good = renumber(&s, z->n_classes);
    }
    for (size_t t = 0; s.good && t < z->n_tests; t++) {
        s.test[t] = dumb;
        s.good = !followed[t] || take_test(&s, &z->test[t], kept, t);
    }
    free(kept);
    return s;
}

static size_t n_weighty(const bp_puzzle *z, const double *weight) {
    size_t n = 0;
    double sum = 0;
    for (size_t i = 0; i < z->n_cases; i++)
        sum += weight[i];
    for (size_t i = 0; i < z->n_cases; i++)
        n += weight[i] > SLIGHT * sum;
    return n;
}

/* The test not yet tried that tells most a minute. */
static size_t next_tried(const bp_puzzle *z, const bp_puzzle_score *score, const bool *tried) {
    size_t best = BP_PUZZLE_NONE;
    for (size_t t = 0; t < z->n_tests; t++)
        if (!tried[t] && score[t].bits >= z->least &&
            (best == BP_PUZZLE_NONE ||
             score[t].bits / score[t].minutes > score[best].bits / score[best].minutes))
            best = t;
    return best;
}

static size_t try_out(const bp_puzzle *z, const double *weight, const size_t *made, size_t n_made,
                      const bp_puzzle_score *score, size_t fallback) {
    bool *followed = calloc(z->n_tests + 1, sizeof *followed);
    size_t *copy = room_for_made(made, n_made), first[TRIED], n = 0, best = fallback;
    for (size_t k = 0; followed && k < FOLLOWED; k++) {
        const size_t t = next_tried(z, score, followed);
        if (t == BP_PUZZLE_NONE)
            break;
        followed[t] = true;
        if (n < TRIED)
            first[n++] = t;
    }
    small s = {.good = false};
    if (followed)
        s = make_small(z, weight, followed);
    double least = INFINITY;
    const chase c = {&s.z, copy, 0.02, score[fallback].minutes / score[fallback].bits};
    for (size_t k = 0; s.good && copy && k < n; k++) {
        const double minutes = follow(&c, s.weight, n_made, first[k], 1);
        if (minutes < least - 1e-9) {
            least = minutes;
            best = first[k];
        }
    }
    free(copy);
    free(followed);
    small_clear(&s);
    return best;
}

size_t bp_puzzle_best(const bp_puzzle *z, const double *weight, const size_t *made, size_t n_made,
                      bp_puzzle_score *score) {
    bp_puzzle_score *own = score ? score : calloc(z->n_tests + 1, sizeof *own);
    size_t best = own ? bp_puzzle_greedy(z, weight, made, n_made, own) : BP_PUZZLE_NONE;
    if (best != BP_PUZZLE_NONE && n_weighty(z, weight) <= CHEAP)
        best = try_out(z, weight, made, n_made, own, best);
    if (!score)
        free(own);
    return best;
}
