/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sender and gauge: coils of 90 ohm, the second beside a sender of 240 ohm (empty) to 33 ohm
 * (full).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "tests/sim/desk.h"

#define WIRES                                                                                      \
    "W1: {from: B.+, to: G.15}, W2: {from: G.G, to: S.1}, W3: {from: S.2, to: B.-}, "              \
    "W4: {from: G.31, to: B.-}"
#define STATES "empty: {S: empty}, half: {S: half}, full: {S: full}"

static void check(desk *d, const char *state, const char *fault, double sender_ohm,
                  const char *says) {
    double beside = 1 / (1 / 90.0 + 1 / sender_ohm);
    desk_near(desk_volts(d, state, fault, "G.G", NULL), 12 * beside / (90 + beside), 3e-3,
              fault ? fault : state);
    assert_string_equal(desk_says(d, state, fault, "G", NULL), says);
}

static void set(desk *d, const char *emf) {
    char parts[200];
    snprintf(parts, sizeof parts, "B: {kind: source, emf: %s}, G: {kind: gauge}, S: {kind: sender}",
             emf);
    desk_set(d, parts, WIRES, STATES);
}

/* At half 136.5 ohm. The needle does not mind the feed, since it follows a ratio. */
static void the_needle_follows_the_sender(void **state) {
    (void)state;
    desk d;
    set(&d, "12 V");
    check(&d, "empty", NULL, 240, "empty");
    check(&d, "half", NULL, 136.5, "reads");
    check(&d, "full", NULL, 33, "full");
    double at;
    desk_says(&d, "half", NULL, "G", &at);
    desk_near(at, 0.5, 0.002, "half");
    desk_clear(&d);
    set(&d, "9 V");
    desk_says(&d, "half", NULL, "G", &at);
    desk_near(at, 0.5, 0.002, "half on 9 V");
    desk_clear(&d);
}

/* Open sender wire: empty and beyond; shorted to ground: full and beyond. */
static void faults_of_the_sender(void **state) {
    (void)state;
    desk d;
    set(&d, "12 V");
    check(&d, "full", "S:open", 1e12, "past-empty");
    check(&d, "full", "W2:open", 1e12, "past-empty");
    check(&d, "empty", "S:short", 5e-3, "past-full");
    check(&d, "full", "S:stuck=0%", 240, "empty");
    check(&d, "full", "S:resistance=150ohm", 183, "reads");
    double at;
    desk_says(&d, "full", "S:resistance=150ohm", "G", &at);
    desk_near(at, (240.0 - 183) / (240 - 33), 0.002, "worn track reads too little");
    desk_clear(&d);
}

static void faults_of_the_gauge(void **state) {
    (void)state;
    desk d;
    set(&d, "12 V");
    assert_string_equal(desk_says(&d, "half", "G.15:open", "G", NULL), "off");
    assert_string_equal(desk_says(&d, "half", "G:feed-coil-open", "G", NULL), "off");
    /* Without its ground coil, or its ground, 12 * 136.5 / 226.5 at G and a needle past full. */
    desk_near(desk_volts(&d, "half", "G:ground-coil-open", "G.G", NULL), 7.2318, 3e-3, "coil");
    assert_string_equal(desk_says(&d, "half", "G:ground-coil-open", "G", NULL), "past-full");
    assert_string_equal(desk_says(&d, "half", "G.31:open", "G", NULL), "past-full");
    check(&d, "empty", "G:stuck=50%", 240, "reads");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_needle_follows_the_sender),
        cmocka_unit_test(faults_of_the_sender),
        cmocka_unit_test(faults_of_the_gauge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
