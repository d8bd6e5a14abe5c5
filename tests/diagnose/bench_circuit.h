/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Circuits small enough to be worked by hand, with their atlas.
 */
#ifndef BP_TESTS_DIAGNOSE_BENCH_CIRCUIT_H
#define BP_TESTS_DIAGNOSE_BENCH_CIRCUIT_H

#include "diagnose/posterior.h"

/* 12 V, R1 1 kohm and R2 3 kohm, 2 % and 5 %: points A (source) and B (middle), state on. */
extern const char bench_divider[];
/* 12 V through a switch and a wire of 1 ohm to a load of 11 ohm and back through a wire of
 * 0.01 ohm: points A (feed), B (before the wire), C (at the load), D (after the load); states off
 * and on. */
extern const char bench_load[];

typedef struct bench {
    bp_report *report;
    bp_circuit *circuit;
    bp_atlas *atlas;
    bp_prior prior;
} bench;

/* Loads the text and works out its atlas; cache NULL: none. Fails the test when that does not
 * work. */
void bench_open(bench *b, const char *text, const char *cache);
void bench_close(bench *b);

/* A reading of volts at a point in a state. */
bp_evidence bench_volts(bench *b, const char *state, const char *red, const char *black,
                        double value, bp_present present);
/* Index of a fault; fails the test when there is none. "R1:open", without degree. */
size_t bench_fault(const bench *b, const char *text);
/* The posterior; fails the test when there is none. Owned by the caller. */
bp_posterior *bench_after(bench *b, const bp_evidence *evidence, size_t n);
/* What the healthy hypothesis, which must be alive, says that a test would show: a number. */
bp_predicted bench_healthy_shows(const bp_posterior *p, size_t test);

#endif
