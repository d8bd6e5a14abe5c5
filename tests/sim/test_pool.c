/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A worker that dies, hangs or talks nonsense is replaced; its case comes back without a result,
 * the others with theirs.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <signal.h>
#include <string.h>

#include "sim/lab.h"
#include "tests/sim/asked.h"

#define PARTS                                                                                      \
    "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 1 kohm}, R2: {kind: "          \
    "resistor, "                                                                                   \
    "resistance: 1 kohm}"
#define WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B.-}"

enum { QUESTIONS = 6 };

/* Asks the same several times with a mishap to the first: one has no result, all others 6 V. */
static void check_mishap(bp_mishap mishap, const char *why) {
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    bp_pool_set_limit(bp_lab_pool(d.lab), 1.0);
    const pid_t before = bp_pool_worker(bp_lab_pool(d.lab), 0);
    assert_true(before > 0);
    const bp_pair pair = {"R2.1", NULL};
    bp_question q[QUESTIONS];
    bp_answer *a[QUESTIONS];
    for (size_t i = 0; i < QUESTIONS; i++)
        q[i] = reading_of("on", BP_VOLTS, &pair);
    bp_lab_plan_mishap(d.lab, mishap);
    assert_int_equal(bp_lab_ask_many(d.lab, q, QUESTIONS, a, NULL, NULL, d.report), BP_OK);
    for (size_t i = 0; i < QUESTIONS; i++) {
        assert_non_null(a[i]);
        const bp_reading *r = &a[i]->states[0].readings[0];
        if (i == 0) {
            assert_int_equal(r->status, BP_READING_NONE);
            assert_non_null(strstr(r->why, why));
            assert_non_null(strstr(a[i]->states[0].why, why));
        } else
            desk_near(r->value, 6, 1e-3, "divider");
        bp_answer_free(&a[i]);
    }
    assert_int_not_equal(bp_pool_worker(bp_lab_pool(d.lab), 0), before);
    desk_clear(&d);
}

static void one_that_dies_is_replaced(void **state) {
    (void)state;
    check_mishap(BP_MISHAP_DIES, "died");
}

static void one_that_hangs_is_replaced(void **state) {
    (void)state;
    check_mishap(BP_MISHAP_HANGS, "too long");
}

static void one_that_babbles_is_replaced(void **state) {
    (void)state;
    check_mishap(BP_MISHAP_BABBLES, "nonsense");
}

/* Killed from outside between two questions: the next one does not notice. */
static void one_that_died_idle_is_replaced(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(desk_volts(&d, NULL, NULL, "R2.1", NULL), 6, 1e-3, "divider");
    const pid_t before = bp_pool_worker(bp_lab_pool(d.lab), 0);
    assert_int_equal(kill(before, SIGKILL), 0);
    /* Its end may come a moment after the signal: then that one question has no result, but none
     * later. */
    const bp_pair pair = {"R2.1", NULL};
    const bp_question q = reading_of("on", BP_VOLTS, &pair);
    bp_answer *a = asked(&d, &q);
    bp_answer_free(&a);
    desk_near(desk_volts(&d, NULL, NULL, "R2.1", NULL), 6, 1e-3, "divider");
    assert_int_not_equal(bp_pool_worker(bp_lab_pool(d.lab), 0), before);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_that_dies_is_replaced),
        cmocka_unit_test(one_that_hangs_is_replaced),
        cmocka_unit_test(one_that_babbles_is_replaced),
        cmocka_unit_test(one_that_died_idle_is_replaced),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
