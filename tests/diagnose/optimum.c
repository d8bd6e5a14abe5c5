/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/diagnose/optimum.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_CASES = 20, MOST_DEPTH = 24 };

/* What is known of one situation: the cases still possible, and, where costs depend on it, the
 * tests made. */
typedef struct known {
    uint32_t cases;
    uint64_t made; /* a sum over the tests made; 0 where all cost the same whatever was made */
    double minutes;
    bool used;
} known;

typedef struct search {
    const bp_puzzle *z;
    const double *weight;
    known *table;
    size_t room, used, most;
    size_t made[MOST_DEPTH];
} search;

static uint64_t mix(uint64_t x) {
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

/* In the order made: what is set up last is what stands. */
static uint64_t made_key(const search *s, size_t n) {
    uint64_t key = 0;
    for (size_t i = 0; s->z->minutes && i < n; i++)
        key += mix(s->made[i] + 1);
    return n > 0 && s->z->minutes ? key ^ mix(s->made[n - 1] + 7777) : 0;
}

static known *find(search *s, uint32_t cases, uint64_t made) {
    size_t at = (size_t)(mix(cases + made * 31) % s->room);
    while (s->table[at].used && (s->table[at].cases != cases || s->table[at].made != made))
        at = (at + 1) % s->room;
    return &s->table[at];
}

static bool solved(const search *s, uint32_t cases) {
    double sum = 0, best = 0;
    for (size_t c = 0; c < s->z->n_classes; c++) {
        double own = 0;
        for (size_t i = 0; i < s->z->n_cases; i++)
            own += cases >> i & 1 && s->z->class_of[i] == c ? s->weight[i] : 0;
        sum += own;
        best = fmax(best, own);
    }
    return best >= s->z->enough * sum;
}

static double mass(const search *s, uint32_t cases) {
    double sum = 0;
    for (size_t i = 0; i < s->z->n_cases; i++)
        sum += cases >> i & 1 ? s->weight[i] : 0;
    return sum;
}

static uint32_t that_show(const search *s, uint32_t cases, const bp_puzzle_test *t, size_t o) {
    uint32_t set = 0;
    for (size_t i = 0; i < s->z->n_cases; i++)
        if (cases >> i & 1 && t->p[i * t->n_outcomes + o] > 0.5F)
            set |= (uint32_t)1 << i;
    return set;
}

static double least(search *s, uint32_t cases, size_t depth);

static double with_test(search *s, uint32_t cases, size_t depth, size_t test) {
    const bp_puzzle_test *t = &s->z->test[test];
    double sum = s->z->minutes ? s->z->minutes(s->z->data, s->made, depth, test) : 1;
    const double all = mass(s, cases);
    s->made[depth] = test;
    for (size_t o = 0; o < t->n_outcomes; o++) {
        const uint32_t left = that_show(s, cases, t, o);
        if (left == cases)
            return INFINITY;
        if (left != 0) {
            const double minutes = least(s, left, depth + 1);
            s->made[depth] = test;
            sum += mass(s, left) / all * minutes;
        }
    }
    return sum;
}

static double least(search *s, uint32_t cases, size_t depth) {
    if (solved(s, cases) || depth == MOST_DEPTH)
        return 0;
    const uint64_t made = made_key(s, depth);
    known *k = find(s, cases, made);
    if (k->used)
        return k->minutes;
    if (s->used++ > s->most)
        return NAN;
    double best = INFINITY;
    for (size_t t = 0; t < s->z->n_tests; t++) {
        const double minutes = with_test(s, cases, depth, t);
        if (isnan(minutes))
            return NAN;
        best = fmin(best, minutes);
    }
    if (isinf(best))
        best = 0; /* nothing tells the rest apart */
    k = find(s, cases, made);
    *k = (known){cases, made, best, true};
    return best;
}

double optimum_minutes(const bp_puzzle *z, const double *weight, size_t most) {
    search s = {.z = z, .weight = weight, .room = 2 * most + 64, .most = most};
    if (z->n_cases > MOST_CASES)
        return NAN;
    s.table = calloc(s.room, sizeof *s.table);
    const double minutes =
        s.table ? least(&s, (uint32_t)(((uint64_t)1 << z->n_cases) - 1), 0) : NAN;
    free(s.table);
    return minutes;
}
