/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Curves: thinning loses no peak, gaps stay gaps, and the styles differ where there is no colour.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdlib.h>

#include "render/canvas_private.h"
#include "render/curve.h"

enum { MANY = 200000 };
static const bp_box room = {100, 50, 400, 200};

static bp_curve curve_of(const double *time, const double *value, size_t n, bp_axis *up) {
    const bp_axis across = bp_axis_of_window(0, 1, 5);
    bp_curve curve;
    *up = bp_axis_of_values(-100, 100, BP_UNIT_VOLT, 5);
    assert_true(bp_curve_make(&curve, time, value, n, &across, up, room));
    return curve;
}

static double y_of(const bp_axis *up, double value) {
    return room.y + room.h * (1 - (value - up->low) / (up->high - up->low));
}

static bool passes(const bp_curve *curve, double y) {
    for (size_t i = 0; i < curve->n; i++)
        if (fabs(curve->xy[i][1] - y) < 1e-9)
            return true;
    return false;
}

/* A sine of many samples with a single spike up and one down, each one sample wide. */
static void test_peaks_stay(void **state) {
    (void)state;
    double *time = calloc(MANY, sizeof *time), *value = calloc(MANY, sizeof *value);
    assert_true(time && value);
    for (size_t i = 0; i < MANY; i++) {
        time[i] = (double)i / (MANY - 1);
        value[i] = 5 * sin(300 * time[i]);
    }
    value[77777] = 93;
    value[123456] = -88;
    bp_axis up;
    bp_curve curve = curve_of(time, value, MANY, &up);
    assert_true(passes(&curve, y_of(&up, 93)) && passes(&curve, y_of(&up, -88)));
    assert_true(curve.n < MANY / 20); /* 400 points of paper, 300 dots an inch, four samples each */
    assert_true(curve.n <= 4 * (size_t)(room.w * 300 / 72 + 2));
    for (size_t i = 1; i < curve.n; i++)
        assert_true(curve.xy[i][0] >= curve.xy[i - 1][0]);
    assert_true(curve.xy[0][0] == room.x);
    assert_true(fabs(curve.xy[curve.n - 1][0] - room.x - room.w) < 1e-9);
    bp_curve_clear(&curve);
    free(time);
    free(value);
}

static void test_few_samples_all_stay(void **state) {
    (void)state;
    const double time[] = {0, 0.25, 0.5, 1}, value[] = {0, 50, -50, 10};
    bp_axis up;
    bp_curve curve = curve_of(time, value, 4, &up);
    assert_int_equal(curve.n, 4);
    for (size_t i = 0; i < 4; i++) {
        assert_true(fabs(curve.xy[i][0] - room.x - room.w * time[i]) < 1e-9);
        assert_true(fabs(curve.xy[i][1] - y_of(&up, value[i])) < 1e-9);
    }
    bp_curve_clear(&curve);
}

/* What cannot be drawn leaves a gap, and no ink in it. */
static void test_gaps(void **state) {
    (void)state;
    const double time[] = {0, 0.2, 0.4, 0.5, 0.6, 0.8, 1};
    const double value[] = {1, 2, NAN, INFINITY, -1e300, 3, 4};
    bp_axis up;
    bp_curve curve = curve_of(time, value, 7, &up);
    assert_int_equal(curve.n, 4);
    assert_false(curve.joined[0]);
    assert_true(curve.joined[1]);
    assert_false(curve.joined[2]);
    assert_true(curve.joined[3]);
    const bp_box gap = {room.x + room.w * 0.3, room.y, room.w * 0.4, room.h};
    assert_false(bp_curve_meets(&curve, gap, 0));
    assert_true(bp_curve_meets(&curve, room, 0));
    bp_curve_clear(&curve);
    curve = curve_of(time, (const double[]){NAN, NAN, NAN, NAN, NAN, NAN, NAN}, 7, &up);
    assert_int_equal(curve.n, 0);
    bp_curve_clear(&curve);
}

/* Two styles are told apart without colour: other dashes, or half as wide again; and the good
 * circuit's line by its grey, by the weights of red, green and blue of ITU-R BT.601. */
static void test_styles_differ_in_grey(void **state) {
    (void)state;
    for (size_t a = 0; a < BP_CURVE_STYLES; a++)
        for (size_t b = 0; b < a; b++) {
            const double *dash[2];
            size_t n[2];
            const double w1 = bp_curve_style(a, &dash[0], &n[0]);
            const double w2 = bp_curve_style(b, &dash[1], &n[1]);
            bool differ = n[0] != n[1] || fmax(w1, w2) >= 1.5 * fmin(w1, w2);
            for (size_t i = 0; i < n[0] && !differ; i++)
                differ = fabs(dash[0][i] - dash[1][i]) >= 1;
            assert_true(differ);
        }
    double front[3], behind[3];
    bp_palette(BP_ACCENT, front);
    bp_palette(BP_GREY_RULE, behind);
    const double grey_front = 0.299 * front[0] + 0.587 * front[1] + 0.114 * front[2];
    const double grey_behind = 0.299 * behind[0] + 0.587 * behind[1] + 0.114 * behind[2];
    assert_true(grey_behind - grey_front > 0.4 && grey_behind < 0.85); /* and seen on white */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_peaks_stay),
        cmocka_unit_test(test_few_samples_all_stay),
        cmocka_unit_test(test_gaps),
        cmocka_unit_test(test_styles_differ_in_grey),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
