/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What bites in the solver: none of it may come out as a number. Decks are made by hand here.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/session.h"
#include "tests/sim/desk.h"

enum { ROOM = 32 };

typedef struct hand {
    bp_deck deck;
    bp_element element[ROOM];
    size_t element_of[ROOM];
    double value[ROOM];
    double volts[ROOM];
} hand;

static bp_session *session; /* the solver is started once a process */

static void hand_init(hand *h, size_t n_nodes) {
    *h = (hand){.deck.n_nodes = n_nodes};
    h->deck.element = h->element;
    h->deck.element_of = h->element_of;
}

static size_t put(hand *h, bp_element_sort sort, size_t plus, size_t minus, double value) {
    bp_deck *d = &h->deck;
    h->element[d->n_elements] = (bp_element){
        .sort = sort, .plus = plus, .minus = minus, .first_value = d->n_values, .n_values = 1};
    h->element_of[d->n_values] = d->n_elements++;
    h->value[d->n_values] = value;
    return d->n_values++;
}

/* 12 V over 1 kohm and 1 kohm: 6 V at node 2. */
static void divider(hand *h) {
    hand_init(h, 3);
    put(h, BP_EL_VOLTAGE, 1, 0, 12);
    put(h, BP_EL_RESISTOR, 1, 2, 1000);
    put(h, BP_EL_RESISTOR, 2, 0, 1000);
    assert_true(bp_session_load(session, &h->deck, h->value));
}

static void assert_divider_works(hand *h) {
    divider(h);
    assert_true(bp_session_solve(session, h->value, h->volts));
    desk_near(h->volts[2], 6, 1e-6, __func__);
}

/* R = 0 would silently be taken for 1 mohm. */
static void impossible_values_are_refused(void **state) {
    (void)state;
    hand h;
    divider(&h);
    const double wrong[] = {0, -5, NAN, INFINITY};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        h.value[1] = wrong[i];
        h.volts[2] = 77;
        assert_false(bp_session_solve(session, h.value, h.volts));
        assert_non_null(strstr(bp_session_why(session), "cannot be"));
        desk_near(h.volts[2], 77, 0, __func__);
    }
    h.value[1] = 3000;
    assert_true(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[2], 3, 1e-6, __func__);
}

/* 1 A into nothing but the open resistance would be 1e12 V. */
static void a_voltage_that_cannot_be_is_no_result(void **state) {
    (void)state;
    hand h;
    divider(&h);
    put(&h, BP_EL_CURRENT, 0, 2, 0);
    h.value[2] = h.value[1] = BP_OPEN_OHM;
    assert_true(bp_session_load(session, &h.deck, h.value));
    h.value[3] = 1;
    h.volts[2] = 77;
    assert_false(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[2], 77, 0, __func__);
    assert_divider_works(&h);
}

/* A division by zero gives -5e34 V with a good return code. */
static void a_division_by_zero_is_no_result(void **state) {
    (void)state;
    static const bp_law broken = {"broken", 1, 0, "1/(#0-#0)"};
    hand h;
    divider(&h);
    h.element[h.deck.n_elements++] = (bp_element){.sort = BP_EL_LAW,
                                                  .plus = 2,
                                                  .minus = 0,
                                                  .first_value = h.deck.n_values,
                                                  .law = &broken,
                                                  .control = {{2, 0}}};
    assert_false(bp_session_load(session, &h.deck, h.value) &&
                 bp_session_solve(session, h.value, h.volts));
    assert_divider_works(&h);
}

/* Two ideal sources that contradict each other: the matrix is singular. */
static void a_contradiction_is_no_result(void **state) {
    (void)state;
    hand h;
    divider(&h);
    put(&h, BP_EL_VOLTAGE, 1, 0, 5);
    assert_false(bp_session_load(session, &h.deck, h.value) &&
                 bp_session_solve(session, h.value, h.volts));
    assert_true(strlen(bp_session_why(session)) > 0);
    assert_false(bp_session_lost(session));
    assert_divider_works(&h);
}

/* A power law with its infinite slope at 0 V never converges (measured beforehand). */
static void no_convergence_is_no_result(void **state) {
    (void)state;
    static const bp_law steep = {"steep", 1, 0, "sgn(#0)*(abs(#0)^0.55)*(1e9+1e9*sin(1e9*#0))"};
    hand h;
    divider(&h);
    h.element[h.deck.n_elements++] = (bp_element){.sort = BP_EL_LAW,
                                                  .plus = 2,
                                                  .minus = 0,
                                                  .first_value = h.deck.n_values,
                                                  .law = &steep,
                                                  .control = {{2, 0}}};
    h.volts[2] = 77;
    assert_false(bp_session_load(session, &h.deck, h.value) &&
                 bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[2], 77, 0, __func__);
    assert_divider_works(&h);
}

/* Values edited in a loaded deck, over fifteen powers of ten and back, against the divider's own
 * formula. */
static void edits_over_many_powers_of_ten_hold(void **state) {
    (void)state;
    hand h;
    divider(&h);
    const double ohm[] = {1e-3, 1e12, 1, 1e9, 1e-3, 1e6, 50};
    for (size_t i = 0; i < sizeof ohm / sizeof *ohm; i++)
        for (size_t k = 0; k < sizeof ohm / sizeof *ohm; k++) {
            h.value[1] = ohm[i];
            h.value[2] = ohm[k];
            assert_true(bp_session_solve(session, h.value, h.volts));
            const double lower = 1 / (1 / ohm[k] + 1e-12); /* the shunt of every node */
            desk_near(h.volts[2], 12 * lower / (lower + ohm[i]), 50e-6, __func__);
        }
}

/* A battery whose minus post comes off: 12 V on 0.3 mohm of copper hang on a meter of 10 Mohm and
 * on leaks of 1e12 ohm. By hand: 1e-7 V4 + 3e-12 V4 + 2e-12 (V4 - 12) = 0, so V4 = 0.24 mV. Ten
 * thousand siemens beside a tenth of a microsiemens would cost the solver a millivolt. */
static void an_island_of_copper_is_level(void **state) {
    (void)state;
    hand h;
    hand_init(&h, 5);
    put(&h, BP_EL_VOLTAGE, 1, 2, 12);
    put(&h, BP_EL_RESISTOR, 1, 3, 3e-4);
    put(&h, BP_EL_RESISTOR, 3, 4, 3e-4);
    put(&h, BP_EL_RESISTOR, 4, 0, 10e6);
    const size_t post = put(&h, BP_EL_RESISTOR, 2, 0, 3e-4);
    assert_true(bp_session_load(session, &h.deck, h.value));
    assert_true(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[4], 12, 1e-6, "post on");
    h.value[post] = BP_OPEN_OHM;
    assert_true(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[4], 12 * 2e-12 / (1e-7 + 5e-12), 1e-8, "post off");
    desk_near(h.volts[4] - h.volts[2], 12, 1e-6, "the source still stands");
}

/* A law's parameters are edited too: i = p * v beside 1 kohm, fed through 1 kohm from 12 V. */
static void a_laws_parameters_are_edited(void **state) {
    (void)state;
    static const bp_law conductance = {"conductance", 1, 1, "$0*#0"};
    hand h;
    divider(&h);
    const size_t p = put(&h, BP_EL_LAW, 2, 0, 1e-3);
    h.element[h.deck.n_elements - 1].law = &conductance;
    h.element[h.deck.n_elements - 1].control[0][0] = 2;
    assert_true(bp_session_load(session, &h.deck, h.value));
    assert_true(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[2], 4, 1e-6, __func__);
    h.value[p] = 2e-3;
    assert_true(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[2], 3, 1e-6, __func__);
}

/* With the bank of meters on, every site draws through 10 Mohm at once. */
static void the_bank_puts_the_meter_on_all_sites(void **state) {
    (void)state;
    hand h;
    hand_init(&h, 3);
    put(&h, BP_EL_VOLTAGE, 1, 0, 24);
    put(&h, BP_EL_RESISTOR, 1, 2, 250e6);
    put(&h, BP_EL_RESISTOR, 2, 0, 250e6);
    h.deck.first_meter = h.deck.n_values;
    h.deck.site_ohm = 10e6;
    put(&h, BP_EL_RESISTOR, 2, 0, BP_OPEN_OHM);
    h.element[h.deck.n_elements - 1].site = ++h.deck.n_sites;
    assert_true(bp_session_load(session, &h.deck, h.value));
    assert_true(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[2], 12, 5e-3, __func__); /* open site and shunt: 2e-12 S beside 8e-9 S */
    /* T. R. Kuphaldt, Lessons in Electric Circuits, vol. I, voltmeter impact: 0.8889 V. */
    assert_true(bp_session_solve_all_sites(session, h.value, h.volts));
    desk_near(h.volts[2], 0.8889, 1e-4, __func__);
    assert_true(bp_session_solve(session, h.value, h.volts));
    desk_near(h.volts[2], 12, 5e-3, __func__);
}

static int start(void **state) {
    (void)state;
    session = bp_session_new();
    return session ? 0 : -1;
}

static int end(void **state) {
    (void)state;
    bp_session_free(&session);
    return 0;
}

/* What the solver keeps of every command is swept away now and then: nobody may notice. */
static void thousands_of_solutions_are_one_like_the_other(void **state) {
    (void)state;
    hand h;
    divider(&h);
    for (size_t i = 0; i < 5000; i++) {
        h.value[1] = i % 2 ? 1000 : 3000;
        assert_true(bp_session_solve(session, h.value, h.volts));
        desk_near(h.volts[2], i % 2 ? 6 : 3, 1e-6, __func__);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thousands_of_solutions_are_one_like_the_other),
        cmocka_unit_test(impossible_values_are_refused),
        cmocka_unit_test(a_voltage_that_cannot_be_is_no_result),
        cmocka_unit_test(a_division_by_zero_is_no_result),
        cmocka_unit_test(a_contradiction_is_no_result),
        cmocka_unit_test(no_convergence_is_no_result),
        cmocka_unit_test(edits_over_many_powers_of_ten_hold),
        cmocka_unit_test(an_island_of_copper_is_level),
        cmocka_unit_test(a_laws_parameters_are_edited),
        cmocka_unit_test(the_bank_puts_the_meter_on_all_sites),
    };
    return cmocka_run_group_tests(tests, start, end);
}
