/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which question to ask next. Cases that may be true, each of a class; tests, each with outcomes
 * and how probable a case makes them; minutes. Nothing here knows of circuits, so that it can be
 * checked against coins, scales and prefix codes.
 *
 * A puzzle is solved when one class holds enough, or when no test tells anything more.
 */
#ifndef BP_DIAGNOSE_PUZZLE_H
#define BP_DIAGNOSE_PUZZLE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct bp_puzzle_test {
    size_t n_outcomes;
    size_t n_ordered; /* the first so many follow each other (parts of one scale); the rest are
                         each for itself */
    float *p;         /* by case, outcome: probability; sums to 1 for each case; owned */
} bp_puzzle_test;

typedef struct bp_puzzle {
    size_t n_cases, n_classes, n_tests;
    const size_t *class_of; /* by case */
    const bp_puzzle_test *test;
    /* Minutes that a test takes when these were made before it, in this order; NULL: one each. */
    double (*minutes)(void *data, const size_t *made, size_t n_made, size_t test);
    void *data;
    double enough; /* share of one class that ends it: 0.95 */
    double least;  /* bits; a test that tells less is not worth making */
} bp_puzzle;

/* Bits of a distribution: n weights that need not sum to 1. */
double bp_entropy(const double *weight, size_t n);

/* Entropy of the classes. NAN: no memory (as below). */
double bp_puzzle_entropy(const bp_puzzle *puzzle, const double *weight);
/* By how much a test makes it fall, on average. */
double bp_puzzle_gain(const bp_puzzle *puzzle, const bp_puzzle_test *test, const double *weight);
/* Largest share of a class. */
double bp_puzzle_lead(const bp_puzzle *puzzle, const double *weight);

/* Probability of an outcome, and the weights after it (sum 1) into `after` unless that is NULL. */
double bp_puzzle_after(const bp_puzzle *puzzle, const bp_puzzle_test *test, const double *weight,
                       size_t outcome, double *after);

/* Joins neighbours among the ordered outcomes until there are at most `most` of them, so that the
 * least is lost of what the test tells with these weights; fewer where more tell next to nothing.
 * first[g]: the first outcome of group g; room for n_outcomes + 1, the last is n_outcomes. Returns
 * how many groups; 0: no memory. */
size_t bp_puzzle_join(const bp_puzzle *puzzle, const bp_puzzle_test *test, const double *weight,
                      size_t most, size_t *first);
/* The same test by groups of outcomes. p NULL: no memory. */
bp_puzzle_test bp_puzzle_joined(const bp_puzzle *puzzle, const bp_puzzle_test *test,
                                const size_t *first, size_t n_groups);

/* What is thought of one test. */
typedef struct bp_puzzle_score {
    double bits, minutes;
} bp_puzzle_score;

/* The test with the most bits a minute, BP_PUZZLE_NONE when it is solved or none is worth making;
 * score (may be NULL, room for n_tests) takes all tests'. */
#define BP_PUZZLE_NONE ((size_t)-1)
size_t bp_puzzle_greedy(const bp_puzzle *puzzle, const double *weight, const size_t *made,
                        size_t n_made, bp_puzzle_score *score);

/* Minutes on average until it is solved, when the greedy test is made each time. */
double bp_puzzle_greedy_minutes(const bp_puzzle *puzzle, const double *weight, const size_t *made,
                                size_t n_made);

/* Looks further than one step where that is cheap: of the best few tests by bits a minute, the one
 * after which going on greedily takes the least time. */
size_t bp_puzzle_best(const bp_puzzle *puzzle, const double *weight, const size_t *made,
                      size_t n_made, bp_puzzle_score *score);

#endif
