/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The spline against that of the GNU Scientific Library (gsl_interp_cspline, natural ends).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdlib.h>

#include "diagnose/spline.h"

static double any(void) { return (double)rand() / RAND_MAX; }

static void compare(bp_spline *s) {
    gsl_interp *other = gsl_interp_alloc(s->n > 2 ? gsl_interp_cspline : gsl_interp_linear, s->n);
    assert_non_null(other);
    gsl_interp_init(other, s->x, s->y, s->n);
    bp_spline_lay(s);
    for (size_t piece = 0; piece + 1 < s->n; piece++)
        for (int k = 0; k <= 10; k++) {
            const double x = s->x[piece] + (s->x[piece + 1] - s->x[piece]) * k / 10.0;
            const double inside = fmin(x, s->x[s->n - 1]);
            const double theirs = gsl_interp_eval(other, s->x, s->y, inside, NULL);
            assert_true(fabs(bp_spline_at(s, piece, inside) - theirs) < 1e-10);
        }
    gsl_interp_free(other);
}

static void test_against_gsl(void **state) {
    (void)state;
    srand(7);
    for (int i = 0; i < 500; i++) {
        bp_spline s = {.n = 2 + (size_t)i % (BP_SPLINE_MOST - 1)};
        for (size_t k = 0; k < s.n; k++) {
            s.x[k] = (k > 0 ? s.x[k - 1] : -5) + 0.1 + 3 * any();
            s.y[k] = 14 * any();
        }
        compare(&s);
    }
}

/* Where nothing changes nothing is bent, to the last bit. */
static void test_level(void **state) {
    (void)state;
    bp_spline s = {.x = {0, 1, 3, 4}, .y = {12.3, 12.3, 12.3, 12.3}, .n = 4};
    bp_spline_lay(&s);
    for (size_t i = 0; i < s.n; i++)
        assert_true(s.bend[i] == 0);
    assert_true(fabs(bp_spline_at(&s, 1, 2.2) - 12.3) < 1e-14);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_against_gsl),
                                       cmocka_unit_test(test_level)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
