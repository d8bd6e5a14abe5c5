/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Switch: a stalk with three positions, two loads of 2 ohm, contacts of 10 mohm: 12 V ideal.
 *
 * The two pins and the plug contacts of the switch are in the way as well, so that a load gets a
 * little less than 12 * 2 / 2.01 = 11.940 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

static void set(desk *d) {
    desk_set(d,
             "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 2 ohm}, "
             "R2: {kind: resistor, resistance: 2 ohm}, "
             "S: {kind: switch, resistance: 10 mohm, "
             "positions: {released: [], slow: [[1, 2]], fast: [[1, 3], [3, 1]]}}",
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R1.1}, W3: {from: S.3, to: R2.1}, "
             "W4: {from: R1.2, to: B.-}, W5: {from: R2.2, to: B.-}",
             "released: {}, slow: {S: slow}, fast: {S: fast}");
}

static void test_faults(void **state) {
    (void)state;
    const double on = 11.935, half = 7.973; /* 12 * 2 / 2.011 and 12 * 2 / 3.01 */
    static const struct {
        const char *fault;
        double r1[3], r2[3]; /* released, slow, fast: 1 on, 0 off */
    } table[] = {{NULL, {0, 1, 0}, {0, 0, 1}},
                 {"S:open", {0, 0, 0}, {0, 0, 0}},
                 {"S:stuck-first", {0, 0, 0}, {0, 0, 0}},
                 {"S:stuck-second", {1, 1, 1}, {0, 0, 0}},
                 {"S:stuck-third", {0, 0, 0}, {1, 1, 1}},
                 {"S.3:open", {0, 1, 0}, {0, 0, 0}}};
    static const char *const states[] = {"released", "slow", "fast"};
    desk d;
    set(&d);
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        for (size_t k = 0; k < 3; k++) {
            const char *what = table[i].fault ? table[i].fault : "healthy";
            desk_near(desk_volts(&d, states[k], table[i].fault, "R1.1", NULL), on * table[i].r1[k],
                      0.02, what);
            desk_near(desk_volts(&d, states[k], table[i].fault, "R2.1", NULL), on * table[i].r2[k],
                      0.02, what);
        }
    desk_near(desk_volts(&d, "fast", "S:resistance=1ohm", "R2.1", NULL), half, 0.02, "burnt");
    /* 200 ohm across the open contact: 12 * 2 / 202 */
    desk_near(desk_volts(&d, "released", "S:leak=200ohm", "R1.1", NULL), 0.1188, 1e-3, "leak");
    desk_near(desk_volts(&d, "slow", "S:leak=200ohm", "R1.1", NULL), on, 0.02, "leak, closed");
    desk_clear(&d);
}

/* A contact that is named in two ways and in two positions is one contact: its drop is 10 mohm's.
 */
static void test_one_contact(void **state) {
    (void)state;
    desk d;
    set(&d);
    double current = desk_volts(&d, "fast", NULL, "R2.1", "R2.2") / 2;
    desk_near(desk_volts(&d, "fast", NULL, "S/1", "S/3") / current, 10e-3, 1e-4, "contact");
    desk_clear(&d);
}

/* A switch of two positions has no third one to be stuck in. */
static void test_applies(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: 2 ohm}, "
             "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}",
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: B.-}", NULL);
    bp_question question = BP_QUESTION_INIT;
    question.faults = "S:stuck-third";
    assert_null(bp_lab_ask(d.lab, &question, d.report));
    assert_int_equal(bp_report_count_of(d.report, BP_MISTAKE), 1);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_faults),
                                       cmocka_unit_test(test_one_contact),
                                       cmocka_unit_test(test_applies)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
