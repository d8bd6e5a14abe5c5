/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Minutes of tests, worked by hand from what the circuit file says and the table of
 * diagnose/cost.c.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <string.h>

#include <backprobe/load.h>

#include "diagnose/cost.h"

/* Two points behind one cover of 10 min, a third of 4 min; a state that is entered from another,
 * and one that needs a warm engine. */
static const char text[] = "backprobe: 1\n"
                           "id: steps\n"
                           "title: Steps\n"
                           "reference: BAT/-\n"
                           "parts:\n"
                           "  BAT: {kind: battery, access: 2 min}\n"
                           "  F1: {kind: fuse, rating: 10 A, access: 1 min}\n"
                           "  S1: {kind: switch, access: 10 min, positions: {off: [], on: [[\"1\", "
                           "\"2\"]]}}\n"
                           "  H1: {kind: lamp, power: 21 W, access: 4 min}\n"
                           "wires:\n"
                           "  W1: {from: BAT.+, to: F1.1}\n"
                           "  W2: {from: F1.2, to: S1.1}\n"
                           "  W3: {from: S1.2, to: H1.1}\n"
                           "  W4: {from: H1.2, to: BAT.-}\n"
                           "states:\n"
                           "  off: {}\n"
                           "  lit: {S1: on, from: off}\n"
                           "  warm: {S1: on, engine: 70 degC, from: lit}\n"
                           "points:\n"
                           "  A: {at: S1.1}\n"
                           "  B: {at: S1.2}\n"
                           "  C: {at: H1.1}\n";

typedef struct bench {
    bp_circuit *circuit;
    bp_atlas *atlas;
    bp_bench_top *top;
    bp_report *report;
} bench;

static int begin(void **state) {
    static bench b;
    bp_atlas_options options = BP_ATLAS_OPTIONS_INIT;
    options.cache = "";
    options.workers = 1;
    b.report = bp_report_new();
    if (bp_load_text(text, strlen(text), "steps.yaml", &b.circuit, b.report) != BP_OK) {
        for (size_t i = 0; i < bp_report_count(b.report); i++)
            print_error("%s\n", bp_report_at(b.report, i)->text);
        return -1;
    }
    b.atlas = bp_atlas_new(b.circuit, &options, b.report);
    b.top = b.atlas ? bp_bench_top_new(b.atlas) : NULL;
    *state = &b;
    return b.top ? 0 : -1;
}

static int end(void **state) {
    bench *b = *state;
    bp_bench_top_free(&b->top);
    bp_atlas_free(&b->atlas);
    bp_circuit_free(&b->circuit);
    bp_report_free(&b->report);
    return 0;
}

static bp_test volts(const bench *b, const char *point, const char *in) {
    bp_test t = BP_TEST_INIT;
    t.state = bp_state_find(b->circuit, in);
    t.red_point = bp_point_find(b->circuit, point);
    t.red = b->circuit->points[t.red_point].face;
    return t;
}

static double make(bench *b, bp_test t) {
    const double minutes = bp_test_minutes(b->top, &t);
    bp_bench_top_made(b->top, &t);
    return minutes;
}

static void near(double a, double b) {
    if (!(fabs(a - b) <= 1e-9))
        fail_msg("%.12g min, expected %.12g", a, b);
}

static void test_order_of_a_workshop(void **state) {
    bench *b = *state;
    bp_bench_top_reset(b->top);
    /* read 0.3, cover 10, black lead to the battery 2, meter set up 0.3, switch on 0.2 */
    near(make(b, volts(b, "A", "lit")), 12.8);
    near(make(b, volts(b, "B", "lit")), 0.6);  /* read, one pin further */
    near(make(b, volts(b, "C", "lit")), 4.3);  /* read, another place */
    near(make(b, volts(b, "C", "warm")), 5.8); /* read, same pin, one step on, 50 K warmer at 0.1 */
    near(make(b, volts(b, "C", "lit")), 1.3);  /* read, same pin, all off 0.5, on again 0.2, 0.3 */
    near(make(b, volts(b, "C", "warm")), 0.8); /* still warm */
}

static void test_actions_are_put_back(void **state) {
    bench *b = *state;
    static const char *const pull = "pull F1";
    bp_bench_top_reset(b->top);
    bp_test t = volts(b, "C", "lit"), after = t;
    after.after = &pull;
    after.n_after = 1;
    near(make(b, t), 6.8);     /* 0.3 + 4 + 2 + 0.3 + 0.2 */
    near(make(b, after), 2.1); /* 0.3 + 0.3 + fuse 1 + 0.5 */
    near(make(b, after), 0.6); /* still out */
    near(make(b, t), 1.1);     /* and back: 0.5 */
}

static void test_what_is_watched(void **state) {
    bench *b = *state;
    bp_bench_top_reset(b->top);
    bp_test t = BP_TEST_INIT;
    t.state = bp_state_find(b->circuit, "lit");
    t.part = bp_part_find(b->circuit, "H1");
    near(make(b, t), 0.4); /* look 0.2, switch on 0.2: a lamp is seen from where one stands */
    t.part = bp_part_find(b->circuit, "F1");
    near(make(b, t), 1.2); /* look 0.2, the fuse in the hand 1 */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_order_of_a_workshop),
        cmocka_unit_test(test_actions_are_put_back),
        cmocka_unit_test(test_what_is_watched),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
