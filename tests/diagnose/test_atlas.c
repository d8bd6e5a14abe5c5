/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The atlas against circuits worked by hand, against vehicles drawn at random, and against fresh
 * solves.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include <backprobe/load.h>

#include "tests/circuits/files.h"
#include "tests/diagnose/bench_circuit.h"

static void near(double a, double b, double most, const char *what) {
    if (!(fabs(a - b) <= most))
        fail_msg("%s: %.9g is not %.9g", what, a, b);
}

static size_t test_at(bench *b, const char *state, const char *red, const char *black) {
    return bench_volts(b, state, red, black, 0, BP_PRESENT_YES).test;
}

/* Sums of products of the moves of two tests in the healthy row: their covariance. */
static double covariance(const bench *b, size_t one, size_t two) {
    size_t n = 0;
    bp_atlas_spreads(b->atlas, &n);
    double *x = calloc(n, sizeof *x), *y = calloc(n, sizeof *y), own, sum = 0;
    bp_atlas_moves(b->atlas, 0, one, x, &own);
    bp_atlas_moves(b->atlas, 0, two, y, &own);
    for (size_t q = 0; q < n; q++)
        sum += x[q] * y[q];
    free(x);
    free(y);
    return sum;
}

/* 100,000 dividers, their resistances drawn from normal distributions whose 95 % ranges are the
 * stated 2 % and 5 %, each worked by Ohm's law with a 10 Mohm meter on the middle: the mean and
 * variance of what they read, and the covariance of the middle with the drop over R1. */
static void test_monte_carlo(void **state) {
    (void)state;
    enum { N = 100000 };
    bench b;
    bench_open(&b, bench_divider, NULL);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    double sum = 0, square = 0;
    for (int i = 0; i < N; i++) {
        const double r1 = 1000 + gsl_ran_gaussian(rng, 0.02 * 1000 / 1.959964);
        const double r2 = 3000 + gsl_ran_gaussian(rng, 0.05 * 3000 / 1.959964);
        const double with_meter = r2 * 10e6 / (r2 + 10e6);
        const double v = 12 * with_meter / (r1 + with_meter);
        sum += v;
        square += v * v;
    }
    gsl_rng_free(rng);
    const double mean = sum / N, variance = square / N - mean * mean;
    const size_t middle = test_at(&b, "on", "B", NULL), drop = test_at(&b, "on", "A", "B");
    /* Of 100,000 draws the standard error of a mean is sd/316, 0.2 mV, and of a standard deviation
     * sd/447. The curvature of u, d2u/dR2^2 = -2 E R1 / (R1 + R2)^3 and d2u/dR1^2 = 2 E R2 / (R1 +
     * R2)^3, shifts the mean by half of it times the variance. */
    const double v1 = pow(20 / 1.959964, 2), v2 = pow(150 / 1.959964, 2);
    const double shift = 12 * (3000 * v1 - 1000 * v2) / pow(4000, 3);
    const double sd = sqrt(covariance(&b, middle, middle));
    near(bp_atlas_cell(b.atlas, 0, middle).value + shift, mean, 0.7e-3, "mean of the middle");
    near(sd, sqrt(variance), 0.01 * sqrt(variance), "spread of the middle");
    /* The source is exact, so what the middle gains the drop over R1 loses: fully correlated. */
    near(covariance(&b, middle, drop), -variance, 0.02 * variance, "covariance with the drop");
    bench_close(&b);
}

/* Vehicles drawn in the solver: the same number is the same vehicle, and 400 of them spread as the
 * moves say (the standard error of a standard deviation of 400 draws is 3.5 %). */
static void test_drawn_vehicles(void **state) {
    (void)state;
    enum { N = 400 };
    bench b;
    bench_open(&b, bench_divider, NULL);
    const size_t middle = test_at(&b, "on", "B", NULL);
    static bp_question q[N + 1];
    static bp_answer *a[N + 1];
    const bp_pair pair = {"B", NULL};
    for (size_t i = 0; i <= N; i++) {
        q[i] = (bp_question)BP_QUESTION_INIT;
        q[i].pairs = &pair;
        q[i].n_pairs = 1;
        q[i].draw = i < N ? i + 1 : 1;
    }
    assert_int_equal(bp_lab_ask_many(bp_atlas_lab(b.atlas), q, N + 1, a, NULL, NULL, b.report),
                     BP_OK);
    double sum = 0, square = 0;
    for (size_t i = 0; i < N; i++) {
        const double v = a[i]->states[0].readings[0].value - 9;
        sum += v;
        square += v * v;
    }
    near(a[N]->states[0].readings[0].value, a[0]->states[0].readings[0].value, 1e-6, "the same");
    const double sd = sqrt(square / N - sum / N * sum / N);
    near(sd, sqrt(covariance(&b, middle, middle)), 0.12 * sd, "spread of drawn vehicles");
    for (size_t i = 0; i <= N; i++)
        bp_answer_free(&a[i]);
    bench_close(&b);
}

/* By hand, to first order: u = E R2 / (R1 + R2); du/dR1 = -2.25e-3 V/ohm for 10.2 ohm of standard
 * deviation, du/dR2 = 0.75e-3 V/ohm for 76.5 ohm. */
static void test_moves_by_hand(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_divider, NULL);
    size_t n = 0;
    const bp_spread *spread = bp_atlas_spreads(b.atlas, &n);
    double *moves = calloc(n, sizeof *moves), own = 1;
    bp_atlas_moves(b.atlas, 0, test_at(&b, "on", "B", NULL), moves, &own);
    int found = 0;
    for (size_t q = 0; q < n; q++) {
        if (spread[q].part == bp_part_find(b.circuit, "R1"))
            near(moves[q], -2.25e-3 * 20 / 1.959964, 3e-4, "R1"), found++;
        if (spread[q].part == bp_part_find(b.circuit, "R2"))
            near(moves[q], 0.75e-3 * 150 / 1.959964, 1.5e-3, "R2"), found++;
    }
    assert_int_equal(found, 2);
    assert_true(own == 0);
    free(moves);
    bench_close(&b);
}

/* Severities between the rows: interpolated readings against fresh solves, at places that are no
 * rows, for every fault of the bench load that has degrees. */
static void test_between_rows(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    const size_t test = test_at(&b, "on", "C", NULL);
    double worst = 0, sum = 0;
    size_t n = 0;
    for (size_t r = 0; r < bp_atlas_n_rows(b.atlas); r++) {
        const bp_atlas_row *row = bp_atlas_row_at(b.atlas, r);
        static const double half = 0.5;
        double value = NAN;
        if (row->next == BP_NONE || !bp_atlas_along(b.atlas, r, test, &half, 1, &value))
            continue;
        bp_fault_case faults = {.n = 1};
        faults.fault[0] = bp_atlas_fault(b.atlas, row->fault)->fault;
        faults.fault[0].severity = bp_atlas_severity_along(b.atlas, r, half);
        char text[300];
        bp_fault_write(b.circuit, &faults, text, sizeof text);
        bp_question q = BP_QUESTION_INIT;
        const bp_pair pair = {"C", NULL};
        q.state = "on";
        q.faults = text;
        q.pairs = &pair;
        q.n_pairs = 1;
        bp_answer *a = bp_lab_ask(bp_atlas_lab(b.atlas), &q, b.report);
        assert_non_null(a);
        worst = fmax(worst, fabs(a->states[0].readings[0].value - value));
        sum += fabs(a->states[0].readings[0].value - value);
        bp_answer_free(&a);
        n++;
    }
    assert_true(n > 20);
    near(worst, 0, 0.12, "worst interpolation, V");
    near(sum / (double)n, 0, 0.02, "mean interpolation, V");
    bench_close(&b);
}

/* Masses of a fault's rows and stretches sum to 1; its rows lie by severity. */
static void test_masses(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    for (size_t f = 0; f < bp_atlas_n_faults(b.atlas); f++) {
        size_t n = 0;
        const size_t first = bp_atlas_first_row(b.atlas, f, &n);
        double sum = 0;
        for (size_t r = first; r < first + n; r++) {
            const bp_atlas_row *row = bp_atlas_row_at(b.atlas, r);
            assert_true(row->fault == f);
            assert_true(r == first || isnan(row->severity) ||
                        row->severity >= bp_atlas_row_at(b.atlas, r - 1)->severity);
            sum += row->mass + row->mass_next;
        }
        if (n > 0)
            near(sum, 1, 1e-12, "mass");
    }
    bench_close(&b);
}

/* A pair of places follows from the core by Ohm's law: 1 A through 1 ohm is 1 V (less what wires
 * and contacts take: 12 V over 12.02 ohm). */
static void test_drop(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    const size_t test = test_at(&b, "on", "B", "C");
    const bp_cell cell = bp_atlas_cell(b.atlas, 0, test);
    assert_int_equal(cell.sort, BP_CELL_VALUE);
    near(cell.value, 1.0, 0.02, "drop over RW");
    bench_close(&b);
}

/* A test that the core does not hold is solved on demand, and only then there: ohms of the load
 * with the switch open, 11 ohm by its data. */
static void test_on_demand(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    bp_test t = BP_TEST_INIT;
    t.state = bp_state_find(b.circuit, "off");
    t.instrument = BP_OHMS;
    t.red = bp_face_find(b.circuit, "RL.1");
    t.black = bp_face_find(b.circuit, "RL.2");
    const size_t test = bp_atlas_test_add(b.atlas, &t);
    assert_int_equal(bp_atlas_cell(b.atlas, 0, test).sort, BP_CELL_MISSING);
    const size_t rows[2] = {0, 1};
    assert_int_equal(bp_atlas_want(b.atlas, &test, 1, rows, 2, b.report), BP_OK);
    near(bp_atlas_cell(b.atlas, 0, test).value, 11, 0.3, "load");
    assert_int_equal(bp_atlas_cell(b.atlas, 2, test).sort, BP_CELL_MISSING);
    assert_true(bp_atlas_test_add(b.atlas, &t) == test);
    bench_close(&b);
}

/* What cannot be done is told: there is no plug to unplug. */
static void test_impossible(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    const char *after[1] = {"unplug W9"};
    bp_test t = BP_TEST_INIT;
    t.after = after;
    t.n_after = 1;
    t.red = bp_face_find(b.circuit, "RL.1");
    const size_t test = bp_atlas_test_add(b.atlas, &t);
    assert_int_equal(bp_atlas_want(b.atlas, &test, 1, NULL, 0, b.report), BP_ERR_USAGE);
    assert_true(bp_report_count_of(b.report, BP_MISTAKE) == 1);
    bench_close(&b);
}

/* A relay whose coil has so much in series that good ones pull in or do not: both ways to settle
 * have rows, and their shares sum to 1. */
static void test_humps(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *circuit = files_horn(&report);
    bp_atlas_options o = BP_ATLAS_OPTIONS_INIT;
    o.cache = "";
    bp_atlas *a = bp_atlas_new(circuit, &o, report);
    assert_non_null(a);
    size_t humps = 0;
    for (size_t r = 1; r + 1 < bp_atlas_n_rows(a); r++) {
        const bp_atlas_row *x = bp_atlas_row_at(a, r), *y = bp_atlas_row_at(a, r + 1);
        if (x->share >= 1 || y->fault != x->fault || y->severity != x->severity)
            continue;
        humps++;
        double sum = 0;
        for (size_t k = r; k < bp_atlas_n_rows(a) && bp_atlas_row_at(a, k)->fault == x->fault &&
                           bp_atlas_row_at(a, k)->severity == x->severity;
             k++)
            sum += bp_atlas_row_at(a, k)->share;
        if (bp_atlas_row_at(a, r - 1)->fault != x->fault ||
            bp_atlas_row_at(a, r - 1)->severity != x->severity)
            near(sum, 1, 1e-12, "shares");
    }
    assert_true(humps > 0);
    bp_atlas_free(&a);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
}

/* A motor that stalls at 1.4 times the rating of its fuse, give or take a tenth or so. The fuse
 * holds 1.1 times and is open within half an hour at 1.35 times (ISO 8820, from memory), so some
 * vehicles have lost it by the time somebody looks and some have not. Both ways to settle stand for
 * their share of the one fault without degrees. */
static void test_plain_humps(void **state) {
    (void)state;
    static const char text[] =
        "backprobe: 1\nid: stall\ntitle: Stall\nscenario: A motor behind a fuse\nparts:\n"
        "  V1: {kind: source, emf: 12.5 V}\n  F1: {kind: fuse, rating: 20 A}\n"
        "  M1: {kind: motor, current: 5.5 A, stall: 28 A, load: fan}\n"
        "wires:\n  W1: {from: V1.+, to: F1.1}\n  W2: {from: F1.2, to: M1.1}\n"
        "  W3: {from: M1.2, to: V1.-}\npoints:\n  A: {at: M1.1}\n";
    bench b;
    bench_open(&b, text, NULL);
    size_t n = 0;
    const size_t first = bp_atlas_first_row(b.atlas, bench_fault(&b, "M1:seized"), &n);
    double mass = 0;
    assert_int_equal(n, 2);
    for (size_t r = first; r < first + n; r++) {
        near(bp_atlas_row_at(b.atlas, r)->mass, bp_atlas_row_at(b.atlas, r)->share, 1e-12, "mass");
        mass += bp_atlas_row_at(b.atlas, r)->mass;
    }
    near(mass, 1, 1e-12, "sum");
    bench_close(&b);
}

/* The move of a test for one standard deviation of a part's only toleranced value. */
static double move_by(const bench *b, size_t row, size_t test, const char *part) {
    size_t n = 0;
    const bp_spread *spread = bp_atlas_spreads(b->atlas, &n);
    const size_t at = bp_part_find(bp_atlas_circuit(b->atlas), part);
    double *moves = calloc(n, sizeof *moves), own, found = NAN;
    bp_atlas_moves(b->atlas, row, test, moves, &own);
    for (size_t q = 0; q < n; q++)
        if (spread[q].part == at && spread[q].param != BP_NONE)
            found = moves[q];
    free(moves);
    return found;
}

/* Moves in every row against the divider by hand: with R ohm too many in W3 the load has V = 12 RL
 * / (RL + RW + R), which a standard deviation more of RL (1 % at 95 %) raises by V (RW + R) / (RL +
 * RW + R) of that. Rows take over moves from relatives; fitted to their own readings they have to
 * come out alike. (What RW does depends on how much of RW + R it is, which relatives do not share.)
 */
static void test_moves_of_relatives(void **state) {
    (void)state;
    bench b;
    bench_open(&b, bench_load, NULL);
    size_t n = 0;
    const size_t first = bp_atlas_first_row(b.atlas, bench_fault(&b, "W3:resistance"), &n);
    const size_t test = test_at(&b, "on", "C", NULL);
    assert_true(n >= 5);
    for (size_t r = first; r < first + n; r++) {
        const double ohm = bp_atlas_row_at(b.atlas, r)->severity, all = 11 + 1 + ohm + 0.02;
        const double v = 12 * 11 / all, sd = 0.01 / 1.959964;
        near(move_by(&b, r, test, "RL") / (v * (all - 11) / all * sd), 1, 0.1, "RL by hand");
    }
    bench_close(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_monte_carlo),
        cmocka_unit_test(test_moves_by_hand),
        cmocka_unit_test(test_between_rows),
        cmocka_unit_test(test_masses),
        cmocka_unit_test(test_drop),
        cmocka_unit_test(test_on_demand),
        cmocka_unit_test(test_impossible),
        cmocka_unit_test(test_drawn_vehicles),
        cmocka_unit_test(test_humps),
        cmocka_unit_test(test_plain_humps),
        cmocka_unit_test(test_moves_of_relatives),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
