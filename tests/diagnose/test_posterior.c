/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What readings make of the faults of a circuit that can be worked by hand: 12 V, RW 1 ohm in the
 * feed, RL 11 ohm as the load; 1 A flows, so that every ohm too many drops nearly a volt.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdlib.h>

#include "diagnose/rank.h"
#include "tests/diagnose/bench_circuit.h"

static void between(double x, double low, double high, const char *what) {
    if (!(x >= low && x <= high))
        fail_msg("%s: %.6g is not between %.6g and %.6g", what, x, low, high);
}

/* What a fault's probability is among all faults. */
static size_t likeliest(const bench *b, const bp_posterior *p) {
    size_t best = 0;
    for (size_t f = 0; f < bp_atlas_n_faults(b->atlas); f++)
        if (bp_posterior_fault(p, f) > bp_posterior_fault(p, best))
            best = f;
    return best;
}

static void sums_to_one(const bench *b, const bp_posterior *p) {
    double sum = bp_posterior_healthy(p) + bp_posterior_absent(p) + bp_posterior_other(p);
    for (size_t f = 0; f < bp_atlas_n_faults(b->atlas); f++)
        sum += bp_posterior_fault(p, f);
    between(sum, 1 - 1e-9, 1 + 1e-9, "sum");
}

/* Nothing measured: the prior, but for what nobody would have noticed. */
static void test_nothing(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    bp_posterior *p = bench_after(&b, NULL, 0);
    sums_to_one(&b, p);
    between(bp_posterior_other(p), 0.015, 0.04, "other");
    between(bp_posterior_healthy(p), 0.03, 0.10, "healthy");
    bp_posterior_free(&p);
    bench_close(&b);
}

/* The complaint by hand: 5 % good, 2 % not in the list, a tenth of the 5 % for faults that nobody
 * notices; the rest goes to those that somebody does, by their weights. */
static void test_complaint(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    double seen = 0, unseen = 0, weights = 0;
    const size_t n = bp_atlas_n_faults(b.atlas);
    for (size_t f = 0; f < n; f++) {
        const double noticed = bp_atlas_noticed(b.atlas, f);
        weights += noticed > 0 ? bp_atlas_fault(b.atlas, f)->weight : 0;
        unseen += bp_atlas_fault(b.atlas, f)->weight * (1 - noticed);
    }
    assert_true(weights > 0 && unseen > 0);
    for (size_t f = 0; f < n; f++) {
        const double noticed = bp_atlas_noticed(b.atlas, f), w = bp_atlas_fault(b.atlas, f)->weight;
        const double by_hand = noticed > 0 ? 0.925 * w / weights : 0;
        between(b.prior.fault[f], by_hand - 1e-12, by_hand + 1e-12, "noticed");
        between(b.prior.unseen[f], 0.005 * w * (1 - noticed) / unseen - 1e-12,
                0.005 * w * (1 - noticed) / unseen + 1e-12, "unseen");
        seen += b.prior.fault[f];
    }
    between(seen, 0.925 - 1e-9, 0.925 + 1e-9, "all that are noticed");
    bench_close(&b);
}

/* W3 with 4 ohm too many: 12 V over 16.02 ohm is 0.749 A; B reads 11.99 V, C 0.749 * 11 = 8.24 V
 * over the return wire's few millivolts. The readings say which wire and, by Ohm's law, how many
 * ohms: (11.25 - 8.25) / 0.749. */
static void test_how_bad(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    bp_evidence e[4];
    e[0] = bench_volts(&b, "on", "A", NULL, 12.00, BP_PRESENT_YES);
    e[1] = bench_volts(&b, "on", "B", NULL, 11.99, BP_PRESENT_YES);
    e[2] = bench_volts(&b, "on", "C", NULL, 8.24, BP_PRESENT_YES);
    e[3] = bench_volts(&b, "on", "D", NULL, 0.01, BP_PRESENT_YES);
    bp_posterior *p = bench_after(&b, e, 4);
    sums_to_one(&b, p);
    const size_t wire = bench_fault(&b, "W3:resistance");
    between(bp_posterior_severity(p, wire, 0.5), 3.85, 4.15, "median");
    between(bp_posterior_severity(p, wire, 0.05), 3.5, 4.0, "low");
    between(bp_posterior_severity(p, wire, 0.95), 4.0, 4.5, "high");
    between(bp_posterior_healthy(p), 0, 0.02, "healthy, with a slip");
    /* Everything between B and C explains it alike, and nothing else does. */
    size_t *class_of = calloc(bp_atlas_n_faults(b.atlas), sizeof *class_of);
    assert_true(bp_rank_classes(p, class_of) > 0);
    assert_int_equal(class_of[wire], 0);
    assert_true(class_of[bench_fault(&b, "W4:resistance")] != 0);
    assert_true(class_of[bench_fault(&b, "W4:open")] != 0);
    free(class_of);
    bp_posterior_free(&p);
    bench_close(&b);
}

/* The same with one more reading that cannot be: the fault stays, and that reading is the one to
 * take again. */
static void test_slip(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    bp_evidence e[5];
    e[0] = bench_volts(&b, "on", "A", NULL, 12.00, BP_PRESENT_YES);
    e[1] = bench_volts(&b, "on", "B", NULL, 11.99, BP_PRESENT_YES);
    e[2] = bench_volts(&b, "on", "C", NULL, 8.24, BP_PRESENT_YES);
    e[3] = bench_volts(&b, "on", "D", NULL, 0.01, BP_PRESENT_YES);
    e[4] = bench_volts(&b, "on", "A", "D", 0.00, BP_PRESENT_YES); /* 11.99 V it should be */
    bp_posterior *without = bench_after(&b, e, 4), *with = bench_after(&b, e, 5);
    const size_t wire = bench_fault(&b, "W3:resistance");
    between(bp_posterior_fault(with, wire) / bp_posterior_fault(without, wire), 0.5, 1.5,
            "share of the wire");
    between(bp_posterior_slip(with, 4), 0.95, 1, "slip of the odd one");
    for (size_t i = 0; i < 4; i++)
        between(bp_posterior_slip(with, i), 0, 0.1, "slip of a good one");
    bp_posterior_free(&without);
    bp_posterior_free(&with);
    bench_close(&b);
}

/* All as it should be: the circuit is good, more so with every reading. */
static void test_healthy(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    bp_evidence e[4];
    e[0] = bench_volts(&b, "on", "A", NULL, 12.00, BP_PRESENT_YES);
    e[1] = bench_volts(&b, "on", "B", NULL, 11.99, BP_PRESENT_YES);
    e[2] = bench_volts(&b, "on", "C", NULL, 10.98, BP_PRESENT_YES);
    e[3] = bench_volts(&b, "on", "D", NULL, 0.01, BP_PRESENT_YES);
    double before = 0;
    for (size_t n = 1; n <= 4; n += 3) {
        bp_posterior *p = bench_after(&b, e, n);
        assert_true(bp_posterior_healthy(p) > before);
        before = bp_posterior_healthy(p);
        bp_posterior_free(&p);
    }
    between(before, 0.3, 1, "healthy");
    bench_close(&b);
}

/* A good reading taken while the trouble was away clears nothing: the wire is as suspect as before.
 * The same reading in its presence clears it. */
static void test_presence(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    const size_t wire = bench_fault(&b, "W3:open");
    const bp_evidence away = bench_volts(&b, "on", "C", NULL, 10.98, BP_PRESENT_NO);
    const bp_evidence there = bench_volts(&b, "on", "C", NULL, 10.98, BP_PRESENT_YES);
    bp_posterior *none = bench_after(&b, NULL, 0), *p = bench_after(&b, &away, 1);
    /* Only what is in no list became less likely by a reading that fits the circuit. */
    between(bp_posterior_fault(p, wire) / bp_posterior_healthy(p) /
                (bp_posterior_fault(none, wire) / bp_posterior_healthy(none)),
            0.999, 1.001, "away");
    bp_posterior_free(&p);
    p = bench_after(&b, &there, 1);
    between(bp_posterior_fault(p, wire) / bp_posterior_fault(none, wire), 0, 0.05, "there");
    bp_posterior_free(&p);
    bp_posterior_free(&none);
    bench_close(&b);
}

/* Nothing in the list makes 3 V at the source, 5 V behind it and 9 V at the end. */
static void test_other(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    bp_evidence e[4];
    e[0] = bench_volts(&b, "on", "A", NULL, 3.00, BP_PRESENT_YES);
    e[1] = bench_volts(&b, "on", "B", NULL, 5.00, BP_PRESENT_YES);
    e[2] = bench_volts(&b, "on", "C", NULL, 9.00, BP_PRESENT_YES);
    e[3] = bench_volts(&b, "on", "D", NULL, 7.00, BP_PRESENT_YES);
    bp_posterior *p = bench_after(&b, e, 4);
    between(bp_posterior_other(p), 0.5, 1, "other");
    bp_posterior_free(&p);
    bench_close(&b);
}

/* One reading more, added to a posterior, makes of it what all readings at once make. */
static void test_one_more(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    bp_evidence e[2];
    e[0] = bench_volts(&b, "on", "B", NULL, 11.99, BP_PRESENT_YES);
    e[1] = bench_volts(&b, "on", "C", NULL, 0.00, BP_PRESENT_YES);
    bp_posterior *first = bench_after(&b, e, 1), *at_once = bench_after(&b, e, 2);
    bp_posterior *more = bp_posterior_with(first, &e[1]);
    assert_non_null(more);
    sums_to_one(&b, more);
    const size_t f = likeliest(&b, at_once);
    assert_true(likeliest(&b, more) == f);
    between(bp_posterior_fault(more, f), bp_posterior_fault(at_once, f) - 0.01,
            bp_posterior_fault(at_once, f) + 0.01, "fault");
    bp_posterior_free(&first);
    bp_posterior_free(&at_once);
    bp_posterior_free(&more);
    bench_close(&b);
}

/* What a further test will show is known better once a reading shares its tolerances: with the drop
 * over RW measured, the drop over RL follows from the source less it. */
static void test_prediction(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_divider, NULL);
    const bp_evidence e = bench_volts(&b, "on", "A", "B", 3.06, BP_PRESENT_YES);
    const size_t middle = bench_volts(&b, "on", "B", NULL, 0, BP_PRESENT_YES).test;
    bp_posterior *before = bench_after(&b, NULL, 0), *after = bench_after(&b, &e, 1);
    bp_predicted x = bench_healthy_shows(before, middle);
    between(x.mean, 8.998, 9.001, "mean before");
    between(x.sd, 0.05, 0.09, "spread before");
    x = bench_healthy_shows(after, middle);
    between(x.mean, 8.935, 8.95, "mean after");
    between(x.sd, 0.02, 0.045, "spread after");
    bp_posterior_free(&before);
    bp_posterior_free(&after);
    bench_close(&b);
}

/* The Dirichlet estimate by hand: weights 1 and 3 worth 4 repairs, then 3 and 1 proved: shares
 * (1 + 3) / 8 and (3 + 1) / 8. */
static void test_dirichlet(void **state) {
    (void)state;
    double weight[2] = {1, 3};
    const double proved[2] = {3, 1};
    bp_prior_dirichlet(4, proved, 2, weight);
    between(weight[0], 2 - 1e-12, 2 + 1e-12, "first");
    between(weight[1], 2 - 1e-12, 2 + 1e-12, "second");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing),    cmocka_unit_test(test_complaint),
        cmocka_unit_test(test_how_bad),    cmocka_unit_test(test_slip),
        cmocka_unit_test(test_healthy),    cmocka_unit_test(test_presence),
        cmocka_unit_test(test_other),      cmocka_unit_test(test_one_more),
        cmocka_unit_test(test_prediction), cmocka_unit_test(test_dirichlet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
