/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Relays and fuses outside the solver: order, chatter, and the vehicle as it is found.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "tests/sim/asked.h"

#define FEED "B: {kind: source, emf: 12 V}, "

/* A relay that cuts its own feed is a buzzer: it finds no rest, and no value between is made up.
 * Released, the coil end has 12 V; pulled in, the rest contact is open and the coil brings it to
 * ground. */
static void a_buzzer_chatters(void **state) {
    (void)state;
    desk d;
    desk_set(&d, FEED "K: {kind: relay}, R: {kind: resistor, resistance: 100 ohm}",
             "W1: {from: B.+, to: K.30}, W2: {from: K.87a, to: K.86}, W3: {from: K.85, to: B.-}, "
             "W4: {from: K.87, to: R.1}, W5: {from: R.2, to: B.-}",
             NULL);
    const bp_pair pair = {"K.86", NULL};
    const bp_question q = reading_of("on", BP_VOLTS, &pair);
    bp_answer *a = asked(&d, &q);
    const bp_state_answer *s = state_in(a, "on", NULL);
    assert_int_equal(s->n_chatter, 1);
    assert_string_equal(s->chatter[0], "K");
    assert_int_equal(s->readings[0].status, BP_READING_UNSTEADY);
    assert_true(isnan(s->readings[0].value));
    desk_near(s->readings[0].low, 0, 1e-3, "pulled in");
    desk_near(s->readings[0].high, 12, 0.01, "released");
    assert_string_equal(desk_says(&d, "on", NULL, "K", NULL), "chatter");
    bp_answer_free(&a);
    /* What does not move with it reads as ever. */
    desk_near(desk_volts(&d, "on", NULL, "K.30", NULL), 12, 0.01, "the feed is ideal");
    desk_clear(&d);
}

/* Two fuses in a row and 0.4 ohm: 30 A are six times 5 A and twice 15 A. The small one opens first,
 * and then no current flows that could open the other. */
static void the_faster_fuse_saves_the_slower_one(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             FEED "FA: {kind: fuse, rating: 15 A}, FB: {kind: fuse, rating: 5 A}, R: {kind: "
                  "resistor, resistance: 0.37 ohm}",
             "W1: {from: B.+, to: FA.1}, W2: {from: FA.2, to: FB.1}, W3: {from: FB.2, to: R.1}, "
             "W4: {from: R.2, to: B.-}",
             NULL);
    assert_true(desk_blown(&d, NULL, NULL, "FB"));
    assert_false(desk_blown(&d, NULL, NULL, "FA"));
    desk_near(desk_volts(&d, NULL, NULL, "FA.2", NULL), 12, 0.01, "behind the fuse that held");
    desk_clear(&d);
}

#define LAMPS                                                                                      \
    FEED "F: {kind: fuse, rating: 10 A}, S: {kind: switch, positions: {released: [], pressed: "    \
         "[[1, 2]]}}, R: {kind: resistor, resistance: 100 ohm}"
#define LAMPS_WIRES                                                                                \
    "W1: {from: B.+, to: F.1}, W2: {from: F.2, to: S.1}, W3: {from: S.2, to: R.1}, W4: {from: "    \
    "R.2, to: B.-}"
#define TWO_STATES "off: {}, on: {S: pressed, from: off}"

/* R shorted blows F with the switch pressed; the vehicle is found with it blown, whatever the
 * switch does. */
static void a_fuse_blown_in_one_state_is_blown_in_all(void **state) {
    (void)state;
    desk d;
    desk_set(&d, LAMPS, LAMPS_WIRES, TWO_STATES);
    desk_near(desk_volts(&d, "off", NULL, "F.2", NULL), 12, 0.01, "healthy");
    assert_true(desk_blown(&d, "off", "R:short", "F"));
    desk_near(desk_volts(&d, "off", "R:short", "F.2", NULL), 0, 0.01, "found blown");
    /* A new one holds as long as the switch is not pressed. */
    const char *const renew[] = {"renew F"};
    d.question.after = renew;
    d.question.n_after = 1;
    desk_near(desk_volts(&d, "off", "R:short", "F.2", NULL), 12, 0.01, "renewed");
    assert_true(desk_blown(&d, "on", "R:short", "F"));
    desk_clear(&d);
}

/* All states in one question agree with each state asked for by itself. */
static void all_states_at_once_are_the_same(void **state) {
    (void)state;
    desk d;
    desk_set(&d, LAMPS, LAMPS_WIRES, TWO_STATES);
    const bp_pair pair = {"F.2", NULL};
    bp_question q = reading_of(NULL, BP_VOLTS, &pair);
    q.faults = "R:short";
    bp_answer *a = asked(&d, &q);
    assert_int_equal(a->n_states, 2);
    for (size_t i = 0; i < a->n_states; i++) {
        assert_int_equal(a->states[i].n_blown, 1);
        assert_string_equal(a->states[i].blown[0], "F");
        desk_near(a->states[i].readings[0].value,
                  desk_volts(&d, a->states[i].state, "R:short", "F.2", NULL), 1e-4, "asked alone");
    }
    bp_answer_free(&a);
    desk_clear(&d);
}

/* 0.8 ohm at 12 V are 15 A through 10 A: one and a half times, which the fuse stands for minutes
 * (ISO 8820-3). There is time for readings before and after. */
static void a_slow_fuse_splits_the_state(void **state) {
    (void)state;
    desk d;
    desk_set(&d, LAMPS ", R2: {kind: resistor, resistance: 0.78 ohm}",
             LAMPS_WIRES ", W5: {from: S.2, to: R2.1}, W6: {from: R2.2, to: B.-}", TWO_STATES);
    const bp_pair pair = {"R.1", NULL};
    const bp_question q = reading_of(NULL, BP_VOLTS, &pair);
    bp_answer *a = asked(&d, &q);
    assert_int_equal(a->n_states, 3);
    const bp_state_answer *before = state_in(a, "on", "before F opens");
    const bp_state_answer *after = state_in(a, "on", "after F opened");
    assert_true(before->readings[0].value > 11);
    desk_near(after->readings[0].value, 0, 0.01, "no feed any more");
    assert_int_equal(before->n_blown, 0);
    assert_int_equal(after->n_blown, 1);
    assert_int_equal(state_in(a, "off", NULL)->n_blown, 1);
    bp_answer_free(&a);
    desk_clear(&d);
}

/* The same current in a state that is over after two seconds opens nothing. */
static void a_short_state_leaves_a_slow_fuse_whole(void **state) {
    (void)state;
    desk d;
    desk_set(&d, LAMPS ", R2: {kind: resistor, resistance: 0.78 ohm}",
             LAMPS_WIRES ", W5: {from: S.2, to: R2.1}, W6: {from: R2.2, to: B.-}",
             "off: {}, on: {S: pressed, from: off, lasts: 2 s}");
    assert_false(desk_blown(&d, "on", NULL, "F"));
    assert_false(desk_blown(&d, "off", NULL, "F"));
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_buzzer_chatters),
        cmocka_unit_test(the_faster_fuse_saves_the_slower_one),
        cmocka_unit_test(a_fuse_blown_in_one_state_is_blown_in_all),
        cmocka_unit_test(all_states_at_once_are_the_same),
        cmocka_unit_test(a_slow_fuse_splits_the_state),
        cmocka_unit_test(a_short_state_leaves_a_slow_fuse_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
