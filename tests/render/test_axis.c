/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Axes: ticks as one would draw them by hand, at 1, 2 or 5 times a power of ten (common practice of
 * graph paper), figures of at most three digits before the point; and values that fit no axis.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <float.h>
#include <math.h>
#include <stdio.h>

#include "render/axis.h"

static void check(const bp_axis *axis, const char *unit, const char *const *figures, size_t n) {
    assert_string_equal(axis->unit, unit);
    assert_int_equal(axis->n, n);
    for (size_t i = 0; i < n; i++) {
        char text[40];
        bp_axis_text(axis, i, text, sizeof text);
        assert_string_equal(text, figures[i]);
    }
}
#define CHECK(axis, unit, ...)                                                                     \
    check(&axis, unit, (const char *const[]){__VA_ARGS__},                                         \
          sizeof((const char *const[]){__VA_ARGS__}) / sizeof(char *))

static void test_by_hand(void **state) {
    (void)state;
    const bp_axis kick = bp_axis_of_values(-0.8, 381, BP_UNIT_VOLT, 7);
    CHECK(kick, "V", "0", "100", "200", "300", "400");
    const bp_axis kilovolts = bp_axis_of_values(-10.7e3, 1.3e3, BP_UNIT_VOLT, 8);
    CHECK(kilovolts, "kV", "−12", "−10", "−8", "−6", "−4", "−2", "0", "2");
    const bp_axis amps = bp_axis_of_values(0, 7.2, BP_UNIT_AMPERE, 6);
    CHECK(amps, "A", "0", "2", "4", "6", "8");
    const bp_axis small = bp_axis_of_values(-0.48, 0.48, BP_UNIT_VOLT, 7);
    CHECK(small, "V", "−0.6", "−0.4", "−0.2", "0.0", "0.2", "0.4", "0.6");
    const bp_axis milliseconds = bp_axis_of_window(-1e-3, 9e-3, 12);
    CHECK(milliseconds, "ms", "−1", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9");
    const bp_axis seconds = bp_axis_of_window(0, 2.4, 7);
    CHECK(seconds, "s", "0.0", "0.5", "1.0", "1.5", "2.0");
    assert_true(seconds.low == 0 && seconds.high == 2.4);
}

/* Ripple on a charged battery is drawn large: 14.1 to 14.3 V, without 0. */
static void test_ripple_leaves_out_zero(void **state) {
    (void)state;
    const bp_axis axis = bp_axis_of_values(14.1, 14.3, BP_UNIT_VOLT, 6);
    CHECK(axis, "V", "14.10", "14.15", "14.20", "14.25", "14.30");
}

/* What any values must come to: a few ticks within the ends, all values on the axis. */
static void check_sane(double low, double high) {
    for (size_t most = 2; most <= 12; most++) {
        const bp_axis axis = bp_axis_of_values(low, high, BP_UNIT_VOLT, most);
        assert_true(axis.low < axis.high && isfinite(axis.low) && isfinite(axis.high));
        assert_true(axis.n >= 1 && axis.n <= (most > 2 ? most : 3));
        for (size_t i = 0; i < axis.n; i++) {
            const double share = bp_axis_share(&axis, bp_axis_tick(&axis, i));
            assert_true(share >= -1e-6 && share <= 1 + 1e-6);
        }
        if (fabs(low) <= BP_AXIS_MOST && fabs(high) <= BP_AXIS_MOST && low <= high)
            assert_true(bp_axis_share(&axis, low) >= -1e-6 &&
                        bp_axis_share(&axis, high) <= 1 + 1e-6);
    }
}

static void test_hostile_values(void **state) {
    (void)state;
    static const double pairs[][2] = {
        {0, 0},         {12, 12},           {-3, -3},
        {1e-15, 1e-15}, {1e30, 1e30},       {-1e30, 1e30},
        {NAN, NAN},     {0, NAN},           {-INFINITY, INFINITY},
        {5, -5},        {0, DBL_MAX},       {12, 12 + 1e-12},
        {-1e-9, 1e9},   {0, DBL_MIN},       {-7, -6.9},
        {0.0999, 0.1},  {999.9999, 1000.1}, {-1e-3, 1e-3},
        {3e5, 4e5},     {-0.1, 1.02},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        check_sane(pairs[i][0], pairs[i][1]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand),
        cmocka_unit_test(test_ripple_leaves_out_zero),
        cmocka_unit_test(test_hostile_values),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
