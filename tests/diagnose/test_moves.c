/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How readings in ohms, in amps and of a test lamp stray with good parts, against vehicles drawn at
 * random and worked by Ohm's law.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>

#include "tests/diagnose/bench_circuit.h"

/* 12 V through a switch and RW to RL and RP side by side. */
static const char circuit[] = "backprobe: 1\n"
                              "id: load\n"
                              "title: Load\n"
                              "scenario: A bench source, a switch and two loads side by side\n"
                              "parts:\n"
                              "  V1: {kind: source, emf: 12 V}\n"
                              "  S1: {kind: switch, positions: {open: [], closed: [[1, 2]]}}\n"
                              "  RW: {kind: resistor, resistance: 6 ohm, tolerance: 5 %}\n"
                              "  RL: {kind: resistor, resistance: 11 ohm, tolerance: 5 %}\n"
                              "  RP: {kind: resistor, resistance: 30 ohm, tolerance: 5 %}\n"
                              "wires:\n"
                              "  W1: {from: V1.+, to: S1.1}\n"
                              "  W2: {from: S1.2, to: RW.1}\n"
                              "  W3: {from: RW.2, to: RL.1}\n"
                              "  W4: {from: RL.2, to: V1.-}\n"
                              "  W5: {from: RL.1, to: RP.1}\n"
                              "  W6: {from: RL.2, to: RP.2}\n"
                              "states:\n"
                              "  off: {}\n"
                              "  on: {S1: closed}\n"
                              "points:\n"
                              "  A: {at: S1.1}\n"
                              "  B: {at: RW.1}\n"
                              "  C: {at: RL.1}\n"
                              "  D: {at: RL.2}\n";

enum { OHMS, AMPS, LAMP, VOLTS, N_TESTS };

/* What each of them shows in one drawn vehicle. */
typedef struct drawn {
    double value[N_TESTS];
} drawn;

/* Two leads of 0.1 ohm each. */
#define LEADS 0.2
/* Ammeter with its leads, see its instrument. */
#define AMMETER 0.03

/* The current of a 12 V, 3 W bulb: with the 0.55th power of the voltage (Fink and Beaty, Standard
 * Handbook for Electrical Engineers, 11th ed., p. 22-8), rounded off at 0. */
static double bulb(double volts) {
    const double part = volts / 12;
    return 0.25 * part / pow(part * part + 1e-4, 0.225);
}

/* Volts at the bulb, by halving: what the circuit gives there is more than what the bulb takes
 * below them, and less above. */
static double bulb_volts(double source, double inner) {
    double low = 0, high = source;
    for (int i = 0; i < 50; i++) {
        const double middle = (low + high) / 2;
        if (source - inner * bulb(middle) > middle)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Ohm's law throughout; the bulb hangs on the divider's Thevenin equivalent. */
static drawn draw(gsl_rng *rng) {
    const double part = 0.05 / 1.959964;
    const double rw = 6 * (1 + gsl_ran_gaussian(rng, part));
    const double rl = 11 * (1 + gsl_ran_gaussian(rng, part));
    const double rp = 30 * (1 + gsl_ran_gaussian(rng, part));
    const double loads = rl * rp / (rl + rp), open = 12 * loads / (rw + loads);
    const double lit = bulb_volts(open, rw * loads / (rw + loads) + LEADS);
    drawn d;
    d.value[OHMS] = loads + LEADS;
    d.value[AMPS] = 12 / (rw + loads + AMMETER);
    d.value[LAMP] = pow(lit / 12, 3.4); /* the same source */
    d.value[VOLTS] = open;
    return d;
}

/* Means and covariances of many. */
typedef struct crowd {
    double mean[N_TESTS], covariance[N_TESTS][N_TESTS];
} crowd;

static crowd draw_many(size_t n) {
    crowd c = {.mean = {0}};
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (size_t i = 1; i <= n; i++) {
        const drawn d = draw(rng);
        double off[N_TESTS];
        for (int k = 0; k < N_TESTS; k++)
            off[k] = d.value[k] - c.mean[k];
        for (int k = 0; k < N_TESTS; k++)
            c.mean[k] += off[k] / (double)i;
        for (int k = 0; k < N_TESTS; k++)
            for (int m = 0; m < N_TESTS; m++)
                c.covariance[k][m] += off[k] * (d.value[m] - c.mean[m]);
    }
    gsl_rng_free(rng);
    for (int k = 0; k < N_TESTS; k++)
        for (int m = 0; m < N_TESTS; m++)
            c.covariance[k][m] /= (double)n;
    return c;
}

static size_t ask(bench *b, const char *state, bp_instrument instrument, const char *red,
                  const char *black) {
    bp_test t = BP_TEST_INIT;
    t.state = bp_state_find(b->circuit, state);
    t.instrument = instrument;
    t.red_point = bp_point_find(b->circuit, red);
    t.black_point = bp_point_find(b->circuit, black);
    t.red = b->circuit->points[t.red_point].face;
    t.black = b->circuit->points[t.black_point].face;
    const size_t test = bp_atlas_test_add(b->atlas, &t);
    assert_int_equal(bp_atlas_want(b->atlas, &test, 1, NULL, 0, b->report), BP_OK);
    return test;
}

static void near(double a, double b, double most, const char *what) {
    if (!(fabs(a - b) <= most))
        fail_msg("%s: %.9g is not %.9g", what, a, b);
}

static void bench_tests(bench *b, size_t test[N_TESTS]) {
    test[OHMS] = ask(b, "off", BP_OHMS, "C", "D");
    test[AMPS] = ask(b, "off", BP_AMPS, "A", "B"); /* in the open switch's place */
    test[LAMP] = ask(b, "on", BP_TEST_LAMP, "C", "D");
    test[VOLTS] = ask(b, "on", BP_VOLTS, "C", "D");
}

/* Values, spreads and covariances of all pairs. The standard error of a standard deviation of
 * 40,000 is 0.35 %, that of a correlation at most 0.5 %; readings that bend over a spread, the
 * lamp's most of all, add a second order that moves do not have. The tests' leads, contacts and the
 * meters' own load change the spread by less than a hundredth. */
static void test_monte_carlo(void **state) {
    (void)state;
    static const char *const name[N_TESTS] = {"ohms", "amps", "lamp", "volts"};
    bench b;
    bench_open(&b, circuit, NULL);
    size_t test[N_TESTS], n = 0;
    bench_tests(&b, test);
    const crowd c = draw_many(40000);
    bp_atlas_spreads(b.atlas, &n);
    double *moves = calloc(N_TESTS * n, sizeof *moves);
    for (int k = 0; k < N_TESTS; k++) {
        double own = 1;
        bp_atlas_moves(b.atlas, 0, test[k], &moves[(size_t)k * n], &own);
        near(own, 0, 0, name[k]);
        near(bp_atlas_cell(b.atlas, 0, test[k]).value, c.mean[k], 0.01 * c.mean[k], name[k]);
    }
    for (size_t k = 0; k < N_TESTS; k++)
        for (size_t m = 0; m < N_TESTS; m++) {
            double sum = 0;
            for (size_t q = 0; q < n; q++)
                sum += moves[k * n + q] * moves[m * n + q];
            const double scale = sqrt(c.covariance[k][k] * c.covariance[m][m]);
            near(sum, c.covariance[k][m], 0.04 * scale, name[k]);
        }
    free(moves);
    bench_close(&b);
}

/* Volts of the good circuit on and ohms of the same loads: after the volts, the ohms to come are
 * known better, and higher where the volts were high. */
static void test_learns(void **state) {
    (void)state;
    bench b;
    bench_open(&b, circuit, NULL);
    size_t test[N_TESTS];
    bench_tests(&b, test);
    const bp_cell usual = bp_atlas_cell(b.atlas, 0, test[VOLTS]);
    const bp_evidence e = {test[VOLTS],    BP_SEEN_VALUE, usual.value + 0.1, 0.005, NULL,
                           BP_PRESENT_YES, false};
    bp_posterior *before = bench_after(&b, NULL, 0), *after = bench_after(&b, &e, 1);
    const bp_predicted x = bench_healthy_shows(before, test[OHMS]);
    const bp_predicted y = bench_healthy_shows(after, test[OHMS]);
    assert_true(y.mean > x.mean + 0.05 && y.sd < 0.9 * x.sd);
    bp_posterior_free(&before);
    bp_posterior_free(&after);
    bench_close(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_monte_carlo),
                                       cmocka_unit_test(test_learns)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
