/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Likelihoods of a two-resistor circuit, worked by hand.
 *
 * A source of 12 V feeds R1 = 1 kohm and R2 = 3 kohm in series. Read are the source, v = E, and the
 * middle, u = E R2 / (R1 + R2) = 9 V. With standard deviations of 0.1 V, 10 ohm and 60 ohm, to
 * first order (Ohm's law, differentiated): du/dE = R2 / (R1 + R2) = 0.75 du/dR1 = -E R2 / (R1 +
 * R2)^2 = -2.25e-3 V/ohm du/dR2 = E R1 / (R1 + R2)^2 = 0.75e-3 V/ohm so var v = 0.1^2, var u =
 * (0.75 * 0.1)^2 + (2.25e-3 * 10)^2 + (0.75e-3 * 60)^2 and cov = 0.75 * 0.1^2, with the meter's
 * 0.03 V and 0.02 V added to the variances. The bivariate normal density is taken in its textbook
 * form with the correlation rho (Abramowitz and Stegun, 26.3.1).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>

#include "diagnose/gauss.h"

#define PI 3.14159265358979323846

static const double s_v = 0.1044030650891055; /* sqrt(0.1^2 + 0.03^2) */
static const double var_u = 0.75 * 0.1 * 0.75 * 0.1 + 2.25e-3 * 10 * 2.25e-3 * 10 +
                            0.75e-3 * 60 * 0.75e-3 * 60 + 0.02 * 0.02;
static const double cov = 0.75 * 0.1 * 0.1;

static void make(bp_gauss *g) {
    const double covariance[4] = {s_v * s_v, cov, cov, var_u};
    assert_true(bp_gauss_make(g, 2, covariance));
}

/* log of the bivariate density at deviations x and y. */
static double by_hand(double x, double y) {
    const double s_u = sqrt(var_u), rho = cov / (s_v * s_u);
    const double square =
        (x * x / (s_v * s_v) - 2 * rho * x * y / (s_v * s_u) + y * y / var_u) / (1 - rho * rho);
    return -square / 2 - log(2 * PI * s_v * s_u * sqrt(1 - rho * rho));
}

static double normal(double x, double sd) {
    return exp(-x * x / (2 * sd * sd)) / (sd * sqrt(2 * PI));
}

static void near(double a, double b) {
    if (!(fabs(a - b) <= 1e-9 * fmax(1, fabs(b))))
        fail_msg("%.15g is not %.15g", a, b);
}

static void test_two_readings(void **state) {
    (void)state;
    static const double at[][2] = {{0, 0}, {0.1, 0.075}, {-0.3, 0.2}, {0.05, -0.4}, {3, -2}};
    bp_gauss g;
    make(&g);
    for (size_t i = 0; i < sizeof at / sizeof *at; i++)
        near(bp_gauss_log(&g, at[i]), by_hand(at[i][0], at[i][1]));
    bp_gauss_clear(&g);
}

/* 0.3 V less at the source and 0.225 V less in the middle is one low battery, not two odd readings:
 * far likelier than the same deviations with opposite signs. */
static void test_shared_tolerance(void **state) {
    (void)state;
    bp_gauss g;
    make(&g);
    const double together[2] = {-0.3, -0.225}, apart[2] = {-0.3, 0.225};
    near(bp_gauss_log(&g, together) - bp_gauss_log(&g, apart),
         by_hand(-0.3, -0.225) - by_hand(-0.3, 0.225));
    assert_true(bp_gauss_log(&g, together) > bp_gauss_log(&g, apart) + 5);
    bp_gauss_clear(&g);
}

/* Each reading a slip with 2 %, then flat over 16 V: the four cases added up by hand. */
static void test_slips(void **state) {
    (void)state;
    const double slip = 0.02, flat = 1.0 / 16, log_flat[2] = {log(flat), log(flat)};
    static const double at[][2] = {{0.1, 0.075}, {0.02, -9}, {-12, 0.01}, {-12, -9}};
    bp_gauss g;
    make(&g);
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        const double x = at[i][0], y = at[i][1];
        const double none = (1 - slip) * (1 - slip) * exp(by_hand(x, y));
        const double first = slip * flat * (1 - slip) * normal(y, sqrt(var_u));
        const double second = (1 - slip) * normal(x, s_v) * slip * flat;
        const double both = slip * slip * flat * flat;
        const double all = none + first + second + both;
        double each[2], work[2 * 2 + 3 * 2];
        near(bp_gauss_log_slips(&g, at[i], slip, log_flat, each, work), log(all));
        near(each[0], (first + both) / all);
        near(each[1], (second + both) / all);
    }
    bp_gauss_clear(&g);
}

/* Without slips nothing is left but the Gaussian. */
static void test_no_slips(void **state) {
    (void)state;
    const double at[2] = {0.1, -0.2}, log_flat[2] = {-3, -3};
    double work[2 * 2 + 3 * 2];
    bp_gauss g;
    make(&g);
    near(bp_gauss_log_slips(&g, at, 0, log_flat, NULL, work), by_hand(0.1, -0.2));
    bp_gauss_clear(&g);
}

/* Independent readings, six of them, three of which are far off: every set of slips by brute force,
 * 2^6 of them; the sum over none, one, two and the likeliest of more comes within half a per cent
 * of it. */
static void test_three_slips(void **state) {
    (void)state;
    enum { N = 6 };
    double covariance[N * N] = {0}, log_flat[N], work[N * N + 3 * N], each[N];
    static const double at[N] = {0.01, 5, -0.02, -7, 6, 0.03};
    for (int i = 0; i < N; i++) {
        covariance[i * N + i] = 0.05 * 0.05;
        log_flat[i] = log(1.0 / 16);
    }
    double sum = 0;
    for (unsigned set = 0; set < 1u << N; set++) {
        double product = 1;
        for (int i = 0; i < N; i++)
            product *= set & (1u << i) ? 0.1 / 16 : 0.9 * normal(at[i], 0.05);
        sum += product;
    }
    bp_gauss g;
    assert_true(bp_gauss_make(&g, N, covariance));
    const double found = bp_gauss_log_slips(&g, at, 0.1, log_flat, each, work);
    if (!(fabs(found - log(sum)) < 5e-3 && found <= log(sum)))
        fail_msg("%.12g is not %.12g", found, log(sum));
    assert_true(each[1] > 0.99 && each[3] > 0.99 && each[4] > 0.99);
    assert_true(each[0] < 0.05 && each[2] < 0.05 && each[5] < 0.05);
    bp_gauss_clear(&g);
}

static void test_not_positive(void **state) {
    (void)state;
    const double covariance[4] = {1, 2, 2, 1};
    bp_gauss g;
    assert_false(bp_gauss_make(&g, 2, covariance));
}

static void test_log_add(void **state) {
    (void)state;
    near(bp_log_add(log(2), log(3)), log(5));
    near(bp_log_add(-INFINITY, -7), -7);
    near(bp_log_add(-1e6, 3), 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_readings), cmocka_unit_test(test_shared_tolerance),
        cmocka_unit_test(test_slips),        cmocka_unit_test(test_no_slips),
        cmocka_unit_test(test_three_slips),  cmocka_unit_test(test_not_positive),
        cmocka_unit_test(test_log_add),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
