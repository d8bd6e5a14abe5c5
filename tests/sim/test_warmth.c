/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a hand feels: the powers are worked by hand, the kelvins for each watt are this project's
 * own (sim/warmth.c).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "sim/noticed.h"
#include "tests/sim/asked.h"

#define STATES "off: {}, on: {S: pressed}, short: {S: pressed, lasts: 2 s}"

/* 12 V, a switch, a plug and 1.2 ohm of heater wire in between: 2 + 2 + 10 mohm in the switch, 2
 * and 2 mohm in the plug's two ends of the fuse socket. */
static void set(desk *d) {
    desk_set(
        d,
        "B: {kind: source, emf: 12 V}, S: {kind: switch, positions: {released: [], pressed: "
        "[[1, 2]]}}, C: {kind: connector, cavities: 2}, R: {kind: resistor, resistance: 1.2 "
        "ohm}",
        "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: C.a1}, W3: {from: C.b1, to: R.1, size: 1 "
        "mm2, length: 1 m}, W4: {from: R.2, to: B.-}, W5: {from: C.a2, to: B.-}, W6: {from: C.b2, "
        "to: R.2}",
        STATES);
}

static const bp_warmth *felt(desk *d, const char *state, const char *faults, const char *place,
                             bp_answer **answer) {
    bp_question q = BP_QUESTION_INIT;
    q.state = state;
    q.faults = faults;
    *answer = asked(d, &q);
    return bp_warmth_of(&(*answer)->states[0], place);
}

/* 0.1 ohm more in the plug: 12 V over 1.2 + 0.0172 + 0.014 + 0.1 + the plug's good 4 mohm make 8.99
 * A, and 8.99 A squared times 0.104 ohm are 8.4 W. 30 K for each watt: hot. Nothing is felt of the
 * good plug (9.7 A squared times 4 mohm: 0.4 W, 11 K), of an open circuit, or after two seconds. */
static void a_bad_plug_is_hot(void **state) {
    (void)state;
    desk d;
    bp_answer *a;
    set(&d);
    const bp_warmth *w = felt(&d, "on", "C.1:resistance=100mohm", "C.a1", &a);
    assert_non_null(w);
    assert_string_equal(w->says, "hot");
    assert_string_equal(w->part, "C");
    desk_near(w->watts, 8.4, 0.2, "current squared times resistance");
    desk_near(w->kelvin, 30 * w->watts, 1e-9, "30 K/W");
    bp_answer_free(&a);
    assert_null(felt(&d, "on", NULL, "C.a1", &a));
    bp_answer_free(&a);
    assert_null(felt(&d, "off", "C.1:resistance=100mohm", "C.a1", &a));
    bp_answer_free(&a);
    assert_null(felt(&d, "short", "C.1:resistance=100mohm", "C.a1", &a));
    bp_answer_free(&a);
    desk_clear(&d);
}

/* 1 mm2 carries 19 A at 30 degC with its copper 40 K warmer (DIN VDE 0298-4, from memory), and
 * copper warms with the square of the current: 9.7 A, 10 K. Behind a source of 24 V, 19 A: 40 K. */
static void a_wire_warms_with_the_square_of_its_current(void **state) {
    (void)state;
    static const struct {
        const char *emf;
        bool felt;
    } row[] = {{"12 V", false}, {"24 V", true}};
    for (size_t i = 0; i < 2; i++) {
        desk d;
        bp_answer *a;
        char parts[200];
        snprintf(parts, sizeof parts,
                 "B: {kind: source, emf: %s}, R: {kind: resistor, resistance: 1.2 ohm}",
                 row[i].emf);
        desk_set(&d, parts,
                 "W1: {from: B.+, to: R.1, size: 1 mm2, length: 1 m}, W2: {from: R.2, to: B.-}",
                 "on: {}");
        const bp_warmth *w = felt(&d, "on", NULL, "W1", &a);
        assert_int_equal(w != NULL, row[i].felt);
        if (w) {
            desk_near(w->kelvin, 40 * 19.7 * 19.7 / 19 / 19, 2, "square of the current");
            desk_near(w->watts, 19.7 * 19.7 * 0.01724, 0.1, "NBS Handbook 100: 17.24 mohm");
        }
        bp_answer_free(&a);
        desk_clear(&d);
    }
}

/* A relay of 85 ohm on 14 V turns 2.3 W into heat: warm while it is pulled in, and not when its
 * coil is open, so the hand tells that from a bad contact. It clicks, too. */
static void the_senses_tell_faults_apart(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        "B: {kind: source, emf: 14 V}, K: {kind: relay}, R: {kind: resistor, resistance: 5 ohm}",
        "W1: {from: B.+, to: K.86}, W2: {from: K.85, to: B.-}, W3: {from: B.+, to: K.30}, W4: "
        "{from: K.87, to: R.1}, W5: {from: R.2, to: B.-}",
        "on: {}");
    bp_answer *good, *bad;
    const bp_warmth *w = felt(&d, "on", NULL, "K", &good);
    assert_non_null(w);
    assert_string_equal(w->says, "warm");
    desk_near(w->watts, 14 * 14 / 85.0 + 2.8 * 2.8 * 0.01, 0.1, "coil and contact");
    assert_null(felt(&d, "on", "K:coil-open", "K", &bad));
    assert_int_equal(bp_senses_telling(&good->states[0], &bad->states[0]), BP_HEARD | BP_FELT);
    bp_answer_free(&bad);
    w = felt(&d, "on", "K:contact-open", "K", &bad);
    assert_non_null(w);
    assert_int_equal(bp_senses_telling(&good->states[0], &bad->states[0]), 0);
    bp_answer_free(&bad);
    bp_answer_free(&good);
    desk_clear(&d);
}

/* A lamp is seen, a horn heard, a blown fuse seen; a fuse that is merely overloaded is not. */
static void each_kind_is_noticed_in_its_way(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 13 V}, F: {kind: fuse, rating: 10 A}, L: {kind: lamp, power: "
             "21 W}, H: {kind: horn}",
             "W1: {from: B.+, to: F.1}, W2: {from: F.2, to: L.1}, W3: {from: L.2, to: B.-}, W4: "
             "{from: F.2, to: H.1}, W5: {from: H.2, to: B.-}",
             "on: {}");
    bp_question q = BP_QUESTION_INIT;
    bp_answer *good = asked(&d, &q);
    assert_int_equal(bp_notice_of(&good->states[0], "L")->senses, BP_SEEN);
    assert_int_equal(bp_notice_of(&good->states[0], "H")->senses, BP_HEARD);
    assert_int_equal(bp_notice_of(&good->states[0], "F")->senses, 0);
    static const struct {
        const char *fault;
        unsigned senses;
    } row[] = {{"L:open", BP_SEEN}, {"H:open", BP_HEARD}, {"F:blown", BP_SEEN | BP_HEARD}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        q.faults = row[i].fault;
        bp_answer *bad = asked(&d, &q);
        assert_int_equal(bp_senses_telling(&good->states[0], &bad->states[0]), row[i].senses);
        bp_answer_free(&bad);
    }
    bp_answer_free(&good);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bad_plug_is_hot),
        cmocka_unit_test(a_wire_warms_with_the_square_of_its_current),
        cmocka_unit_test(the_senses_tell_faults_apart),
        cmocka_unit_test(each_kind_is_noticed_in_its_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
