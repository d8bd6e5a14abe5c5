/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Actions that add a lead or a lamp, swap a part, or let time pass: every figure is worked by hand
 * beside its test, and an action gives what the same circuit gives with the lead drawn in.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "tests/sim/asked.h"

/* 12 V behind 0.1 ohm, a 10 A fuse (7.7 mohm and two blades of 2 mohm: 11.7 mohm), a connector of
 * 2 mohm a pin, a load of 12 ohm, and grounds of 0.3 mohm:
 *
 *     B+ -- F4 -- a1 C12 b1 -- R (12 ohm) -- b2 C12 a2 -- G3 -- body -- W9 -- B-
 */
#define PARTS                                                                                      \
    "B: {kind: source, emf: 12 V, resistance: 0.1 ohm}, F4: {kind: fuse, rating: 10 A}, "          \
    "C12: {kind: connector, cavities: 2}, R: {kind: resistor, resistance: 12 ohm}, "               \
    "G0: {kind: ground}, G3: {kind: ground}"
#define WIRES                                                                                      \
    "W1: {from: B.+, to: F4.1}, W2: {from: F4.2, to: C12.a1}, W3: {from: C12.b1, to: R.1}, "       \
    "W4: {from: R.2, to: C12.b2}, W5: {from: C12.a2, to: G3}, W9: {from: B.-, to: G0}"

static void do_first(desk *d, const char *const *actions, size_t n) {
    d->question.after = actions;
    d->question.n_after = n;
}

static void do_one(desk *d, const char *action) {
    static const char *one[1];
    one[0] = action;
    do_first(d, one, 1);
}

/* Volts at red after one action, with a fault. */
static double after(desk *d, const char *action, const char *fault, const char *red) {
    do_one(d, action);
    return desk_volts(d, NULL, fault, red, "B.-");
}

/* What the only lead or lamp of one action does; *value is its current or light. The word stays
 * valid. */
static const char *lead_says(desk *d, const char *action, const char *fault, const char *label,
                             double *value) {
    static char says[16];
    do_one(d, action);
    bp_question q = d->question;
    q.state = d->circuit->states[0].id;
    q.faults = fault;
    q.pairs = NULL;
    bp_answer *a = asked(d, &q);
    const bp_state_answer *s = &a->states[a->n_states - 1];
    says[0] = '\0';
    for (size_t i = 0; i < s->n_notices; i++)
        if (strcmp(s->notices[i].part, label) == 0) {
            strncpy(says, s->notices[i].says, sizeof says - 1);
            *value = s->notices[i].value;
        }
    bp_answer_free(&a);
    return says;
}

/* W2 is broken: nothing behind it until a lead brings the battery there. 12 V over 0.1 ohm, 20 mohm
 * of the lead, 2 mohm of pin 1 and two ways of ground: 12 + 4 mohm beyond it: 0.9895 A. */
static void a_feed_runs_a_load_whose_own_is_broken(void **state) {
    (void)state;
    desk d;
    double amps = 0;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(desk_volts(&d, NULL, "W2:open", "R.1", "B.-"), 0, 1e-3, "dead");
    desk_near(after(&d, "feed R.1", "W2:open", "R.1"), 12 - 0.9898 * 0.12, 2e-3, "fed past W2");
    assert_string_equal(lead_says(&d, "feed R.1", "W2:open", "Feed to R.1", &amps), "carries");
    desk_near(amps, 12 / 12.124, 1e-3, "12 V over 0.1 + 0.02 + 12.004 ohm");
    desk_clear(&d);
}

/* W5 is broken: R.2 floats up to the feed until a lead takes it to the battery's -. */
static void an_earth_gives_a_load_its_ground_back(void **state) {
    (void)state;
    desk d;
    double amps = 0;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(desk_volts(&d, NULL, "W5:open", "R.2", "B.-"), 12, 0.01, "no way back");
    desk_near(after(&d, "earth R.2", "W5:open", "R.2"), 0.99 * 0.02, 1e-3, "20 mohm of lead");
    assert_string_equal(lead_says(&d, "earth R.2", "W5:open", "Ground lead to R.2", &amps),
                        "carries");
    desk_near(amps, 12 / 12.134, 2e-3, "0.1 + 0.0117 + 0.002 + 12 + 0.02 ohm");
    desk_clear(&d);
}

/* 1.5 ohm in G3: 12 x 1.5 / 13.62 = 1.32 V at its eyelet; past it 2 mohm of jump lead and 0.3 of
 * G0: 2.3 mV. */
static void a_bypass_takes_a_bad_ground_out(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(desk_volts(&d, NULL, "G3:resistance=1.5ohm", "G3", "B.-"), 1.322, 5e-3, "bad");
    desk_near(after(&d, "bypass G3", "G3:resistance=1.5ohm", "G3"), 0.0023, 3e-4,
              "2 + 0.3 mohm at 1 A");
    desk_clear(&d);
}

/* 21 W at 12 V are 1.75 A x (V/12)^0.55 (the lamp's law, Fink and Beaty). On a short behind F4 only
 * 0.1 + 0.02 (leads) + 0.02 ohm (the short) lie in series: 1.73 A, 11.76 V, 93 % of its light.
 * Before 4.124 ohm in all: 1.275 A and 6.743 V, 14 % of its light. */
static void a_bulb_in_a_fuse_socket_tells_a_short_from_a_load(void **state) {
    (void)state;
    desk d;
    double light = 0;
    desk_set(&d, PARTS, WIRES, NULL);
    const char *bulb = "bulb-for F4 21 W";
    assert_string_equal(lead_says(&d, bulb, "W2:short-to-ground=20mohm", "Lamp for F4", &light),
                        "normal");
    desk_near(light, pow(11.757 / 12, 3.4), 0.01, "all the battery on the lamp");
    desk_near(desk_volts(&d, NULL, "W2:short-to-ground=20mohm", "F4.2", "B.-"), 1.73 * 0.022, 2e-3,
              "1.73 A in the short");
    desk_clear(&d);

    desk_set(&d,
             "B: {kind: source, emf: 12 V, resistance: 0.1 ohm}, F4: {kind: fuse, rating: 10 A}, "
             "R: {kind: resistor, resistance: 4 ohm}",
             "W1: {from: B.+, to: F4.1}, W2: {from: F4.2, to: R.1}, W3: {from: R.2, to: B.-}",
             NULL);
    assert_string_equal(lead_says(&d, bulb, NULL, "Lamp for F4", &light), "weak");
    desk_near(light, 0.141, 0.005, "(6.74/12)^3.4");
    desk_near(desk_volts(&d, NULL, NULL, "F4.2", "B.-"), 4 * 1.2747, 3e-3, "1.275 A through 4 ohm");
    desk_clear(&d);
}

/* 5 ohm in the feed: the open plug shows the battery and is called unloaded; with 21 W on it, 1.186
 * A x 5.13 ohm are lost: 5.92 V. */
static void a_load_shows_what_an_open_plug_hides(void **state) {
    (void)state;
    static const char *const ways[] = {"unplug C12", "load C12 21W"};
    static const double volts[] = {12, 5.92};
    const bp_pair pair = {"C12.a1", "C12.a2"};
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    for (size_t i = 0; i < 2; i++) {
        bp_question q = reading_of("on", BP_VOLTS, &pair);
        q.faults = "W2:resistance=5ohm";
        q.after = &ways[i];
        q.n_after = 1;
        bp_answer *a = asked(&d, &q);
        const bp_reading *r = &state_in(a, "on", NULL)->readings[0];
        desk_near(r->value, volts[i], 0.02, ways[i]);
        assert_int_equal(r->unloaded, i == 0);
        bp_answer_free(&a);
    }
    desk_clear(&d);
}

/* A good part takes its own faults away, not those of the terminals in its socket. */
static void a_substitute_proves_a_part_and_not_its_socket(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(after(&d, "substitute F4", "F4:hairline=6ohm", "R.1"), 12 * 12 / 12.12, 0.01, "good");
    assert_false(desk_blown(&d, NULL, "F4:blown", "F4"));
    desk_near(after(&d, "substitute F4", "F4.1:open", "R.1"), 0, 1e-3, "the socket stays bad");
    desk_near(after(&d, "substitute R", "F4:blown", "R.1"), 0, 1e-3, "another part stays bad");
    desk_clear(&d);
}

/* Plugging apart and together leaves a tenth of a film: 3 ohm, then 0.3 ohm; a broken contact stays
 * broken. */
static void reseating_wipes_a_contact(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(desk_volts(&d, NULL, "C12.1:resistance=3ohm", "C12.b1", "B.-"), 12 * 12.003 / 15.117,
              0.01, "12 V over 15.12 ohm");
    desk_near(after(&d, "reseat C12", "C12.1:resistance=3ohm", "C12.b1"), 12 * 12.003 / 12.417,
              0.01, "12 V over 12.42 ohm");
    desk_near(after(&d, "reseat C12", "C12.1:open", "C12.b1"), 0, 1e-3, "still open");
    desk_near(after(&d, "reseat F4", "F4.2:resistance=3ohm", "C12.a1"), 12 * 12.005 / 12.417, 0.01,
              "a fuse in its socket");
    desk_clear(&d);
}

/* 0.7 ohm on a 10 A fuse: 12 / 0.8117 = 14.8 A, 1.48 times its rating: between 1800 s at 1.35 and 5
 * s at 2 times (ISO 8820-3, on logarithmic scales) some 440 s. Unasked, both are read; who waited
 * five minutes finds it whole, who waited ten finds it open. */
static void waiting_sees_a_slow_fuse_before_or_after(void **state) {
    (void)state;
    static const struct {
        const char *action;
        double volts;
    } row[] = {{"wait 5min", 14.78 * 0.7}, {"wait 10 min", 0}};
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V, resistance: 0.1 ohm}, F4: {kind: fuse, rating: 10 A}, "
             "R: {kind: resistor, resistance: 0.7 ohm}",
             "W1: {from: B.+, to: F4.1}, W2: {from: F4.2, to: R.1}, W3: {from: R.2, to: B.-}",
             "on: {}, flash: {lasts: 2 s}");
    const bp_pair pair = {"R.1", NULL};
    bp_question q = reading_of("on", BP_VOLTS, &pair);
    bp_answer *both = asked(&d, &q);
    assert_int_equal(both->n_states, 2);
    bp_answer_free(&both);
    q.n_after = 1;
    for (size_t i = 0; i < 2; i++) {
        q.after = &row[i].action;
        bp_answer *a = asked(&d, &q);
        assert_int_equal(a->n_states, 1);
        desk_near(a->states[0].readings[0].value, row[i].volts, 0.02, row[i].action);
        assert_int_equal(a->states[0].phase != NULL, i == 1);
        bp_answer_free(&a);
    }
    q.state = "flash";
    assert_string_equal(refused(&d, &q), "state flash lasts 2 s: it is over before the wait is");
    desk_clear(&d);
}

/* 90 degC cool towards 20 degC with 100 minutes: 58 degC after an hour, so that what opens above 80
 * degC is whole again; a running engine does not cool. */
static void waiting_cools_an_engine_that_stands(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES,
             "stopped: {engine: 90 degC}, running: {engine: 90 degC, speed: 800 rpm}");
    const char *fault = "R:open@engine>80degC";
    static const char *const hour[] = {"wait 1 h"};
    desk_near(desk_volts(&d, "stopped", fault, "C12.b1", "R.2"), 12, 0.01, "open: no current");
    do_first(&d, hour, 1);
    desk_near(desk_volts(&d, "stopped", fault, "R.2", "B.-"), 0.005, 0.003, "whole: 1 A in 5 mohm");
    desk_near(desk_volts(&d, "running", fault, "C12.b1", "R.2"), 12, 0.01, "still hot");
    desk_clear(&d);
}

/* A thermal switch that closes at 95 degC; a relay that needs 7.2 V at 20 degC and, with copper of
 * 0.393 %/K at 110 degC, 7.2 x 1.354 = 9.75 V: at 9 V it pulls in cold and not hot. */
static void heat_reaches_what_lives_by_temperature(void **state) {
    (void)state;
    desk d;
    static const char *const heat_relay[] = {"heat K"};
    static const char *const cooled[] = {"heat K", "cool K"}, *const off[] = {"heat K",
                                                                              "wait 15min"};
    desk_set(&d,
             "B: {kind: source, emf: 9 V}, S: {kind: thermal-switch}, K: {kind: relay}, "
             "R: {kind: resistor, resistance: 90 ohm}",
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: B.-}, "
             "W4: {from: B.+, to: K.86}, W5: {from: K.85, to: B.-}, W6: {from: B.+, to: K.30}, "
             "W7: {from: K.87, to: R.1}",
             NULL);
    assert_string_equal(desk_says(&d, NULL, NULL, "K", NULL), "in");
    do_first(&d, heat_relay, 1);
    assert_string_equal(desk_says(&d, NULL, NULL, "K", NULL), "out");
    desk_near(desk_volts(&d, NULL, NULL, "R.1", NULL), 0, 1e-3, "neither of them");
    do_first(&d, cooled, 2);
    assert_string_equal(desk_says(&d, NULL, NULL, "K", NULL), "in");
    do_first(&d, off, 2);
    assert_string_equal(desk_says(&d, NULL, NULL, "K", NULL), "in");
    static const char *const both[] = {"pull K", "heat S"};
    do_first(&d, both, 1);
    desk_near(desk_volts(&d, NULL, NULL, "R.1", NULL), 0, 1e-3, "cold and open");
    do_first(&d, both, 2);
    desk_near(desk_volts(&d, NULL, NULL, "R.1", NULL), 9, 0.01, "hot and closed");
    desk_clear(&d);
}

/* An action is the circuit with the lead drawn in as a part: resistors of 20 and 2 mohm, a lamp. */
static void an_action_is_the_circuit_rebuilt(void **state) {
    (void)state;
    static const struct {
        const char *action, *parts, *wires;
    } row[] = {
        {"jumper F4.1 C12.b1", ", X: {kind: resistor, resistance: 20 mohm}",
         ", W11: {from: F4.1, to: X.1}, W12: {from: X.2, to: C12.b1}"},
        {"feed C12.b1", ", X: {kind: resistor, resistance: 20 mohm}",
         ", W11: {from: B.+, to: X.1}, W12: {from: X.2, to: C12.b1}"},
        {"earth C12.b2", ", X: {kind: resistor, resistance: 20 mohm}",
         ", W11: {from: C12.b2, to: X.1}, W12: {from: X.2, to: B.-}"},
        {"load C12.b1 B.- 10W",
         /* its holder's terminals have 2 mohm each */
         ", X: {kind: resistor, resistance: 16 mohm}, H: {kind: lamp, power: 10 W, volts: 12 V}",
         ", W11: {from: C12.b1, to: X.1}, W12: {from: X.2, to: H.1}, W13: {from: H.2, to: B.-}"},
        /* a ground's contact has 0.3 mohm */
        {"bypass G3", ", X: {kind: resistor, resistance: 1.7 mohm}, G5: {kind: ground}",
         ", W11: {from: G3, to: X.1}, W12: {from: X.2, to: G5}"},
    };
    static const char *const places[] = {"F4.2", "C12.a1", "C12.b1", "R.2", "C12.a2", "G3", NULL};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk with, rebuilt;
        char parts[900], wires[900];
        snprintf(parts, sizeof parts, "%s%s", PARTS, row[i].parts);
        snprintf(wires, sizeof wires, "%s%s", WIRES, row[i].wires);
        desk_set(&with, PARTS, WIRES, NULL);
        desk_set(&rebuilt, parts, wires, NULL);
        do_first(&with, &row[i].action, 1);
        for (size_t k = 0; places[k]; k++)
            desk_near(desk_volts(&with, NULL, NULL, places[k], "B.-"),
                      desk_volts(&rebuilt, NULL, NULL, places[k], "B.-"), 1e-5, row[i].action);
        desk_clear(&with);
        desk_clear(&rebuilt);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_feed_runs_a_load_whose_own_is_broken),
        cmocka_unit_test(an_earth_gives_a_load_its_ground_back),
        cmocka_unit_test(a_bypass_takes_a_bad_ground_out),
        cmocka_unit_test(a_bulb_in_a_fuse_socket_tells_a_short_from_a_load),
        cmocka_unit_test(a_load_shows_what_an_open_plug_hides),
        cmocka_unit_test(a_substitute_proves_a_part_and_not_its_socket),
        cmocka_unit_test(reseating_wipes_a_contact),
        cmocka_unit_test(waiting_sees_a_slow_fuse_before_or_after),
        cmocka_unit_test(waiting_cools_an_engine_that_stands),
        cmocka_unit_test(heat_reaches_what_lives_by_temperature),
        cmocka_unit_test(an_action_is_the_circuit_rebuilt),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
