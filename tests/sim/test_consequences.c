/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What one fault does elsewhere: the wrong lamp lights, a motor turns by itself, a relay holds that
 * would not pull in, a neighbour's short takes a sensor's supply away. And faults that come in
 * pairs, on one part too, or come and go. All of it worked by hand.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

/* A rear lamp unit with brake lamp and tail lamp on one ground, G3; the other side's tail lamp has
 * a ground of its own, G4. The brake is pressed, the tail lights are off. With G3 open the brake
 * lamp finds a way back through its unit's tail filament, the wire between both tail lamps and the
 * other one: three filaments in series at 12 V. By i = P/V (v/V)^0.55 the same current leaves
 * 0.0736 of a 5 W lamp's volts on one of 21 W: 5.79 V, 5.79 V and 0.43 V. */
static void a_bad_shared_ground_lights_the_wrong_lamps(void **state) {
    (void)state;
    desk d;
    double light = 0;
    desk_set(
        &d,
        "B: {kind: source, emf: 12 V}, S: {kind: switch, positions: {up: [], down: [[1, 2]]}}, "
        "L: {kind: switch, positions: {released: [], on: [[1, 2]]}}, "
        "H1: {kind: lamp, power: 21 W, in: A1}, H2: {kind: lamp, power: 5 W, in: A1}, "
        "H3: {kind: lamp, power: 5 W}, G0: {kind: ground}, G3: {kind: ground}, "
        "G4: {kind: ground}, J: {kind: splice}",
        "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: H1.1}, W3: {from: H1.2, to: G3}, "
        "W4: {from: B.+, to: L.1}, W5: {from: L.2, to: J}, W6: {from: J, to: H2.1}, "
        "W7: {from: H2.2, to: G3}, W8: {from: J, to: H3.1}, W9: {from: H3.2, to: G4}, "
        "W10: {from: B.-, to: G0}",
        "brake: {S: down}");
    assert_string_equal(desk_says(&d, NULL, NULL, "H1", NULL), "normal");
    assert_string_equal(desk_says(&d, NULL, NULL, "H2", NULL), "off");
    assert_string_equal(desk_says(&d, NULL, NULL, "H3", NULL), "off");
    assert_string_equal(desk_says(&d, NULL, "G3:open", "H1", NULL), "off");
    assert_string_equal(desk_says(&d, NULL, "G3:open", "H2", &light), "weak");
    desk_near(light, 0.0838, 0.001, "(5.79/12)^3.4");
    assert_string_equal(desk_says(&d, NULL, "G3:open", "H3", &light), "weak");
    desk_near(light, 0.0838, 0.001, "(5.79/12)^3.4");
    desk_near(desk_volts(&d, NULL, "G3:open", "G3", "B.-"), 2 * 5.787, 0.01, "the eyelet is live");
    desk_near(desk_volts(&d, NULL, "G3:open", "J", "B.-"), 5.787, 0.01, "where nothing is fed");
    desk_clear(&d);
}

/* A window motor rests with both ends on ground, by the rest contacts of its two relays: one on G3,
 * the other on G4. A heated screen of 0.5 ohm shares G3. With G3 open the screen's current goes
 * through the motor, which nobody asked for. Six terminals and two contacts have 16 mohm: 13.5
 * = 9.5 w + 8 (0.516 + 0.5) (0.8 + 0.2 w), w = 6.998 / 11.126 = 0.629, 7.41 A. */
static void a_motor_is_turned_by_what_should_be_its_ground(void **state) {
    (void)state;
    desk d;
    double speed = 0;
    desk_set(
        &d,
        "B: {kind: source, emf: 13.5 V}, R: {kind: resistor, resistance: 0.5 ohm}, "
        "M: {kind: two-way-motor, current: 8 A, stall: 27 A, load: window}, "
        "K1: {kind: relay, contacts: change-over}, K2: {kind: relay, contacts: change-over}, "
        "S: {kind: switch, positions: {released: [], up: [[1, 2]], down: [[1, 3]]}}, "
        "G0: {kind: ground}, G3: {kind: ground}, G4: {kind: ground}",
        "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: G3}, W3: {from: K1.87a, to: G3}, "
        "W4: {from: K1.30, to: M.1}, W5: {from: M.2, to: K2.30}, W6: {from: K2.87a, to: G4}, "
        "W7: {from: B.+, to: K1.87}, W8: {from: B.+, to: K2.87}, W9: {from: B.+, to: S.1}, "
        "W10: {from: S.2, to: K1.86}, W11: {from: S.3, to: K2.86}, W12: {from: K1.85, to: G4}, "
        "W13: {from: K2.85, to: G4}, W14: {from: B.-, to: G0}",
        "rest: {}");
    assert_string_equal(desk_says(&d, NULL, NULL, "M", NULL), "off");
    assert_string_equal(desk_says(&d, NULL, "G3:open", "M", &speed), "forward-slow");
    desk_near(speed, 0.629, 0.002, "nobody touched the switch");
    desk_near(desk_volts(&d, NULL, "G3:open", "R.1", "R.2"), 7.41 * 0.5, 0.01, "7.41 A");
    desk_clear(&d);
}

/* Pulls in at 7.2 V, drops out at 2.2 V. The battery sags to 6 V while the relay is in: it stays;
 * switched on at 6 V it would not have come. Nor does it come back after the contact in its coil's
 * feed has gone for a moment: the same reading, and another answer. */
static void a_relay_holds_that_would_not_pull_in(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "BAT: {kind: battery, charge: 100 %}, K: {kind: relay}, "
             "S: {kind: switch, positions: {released: [], on: [[1, 2]]}}, "
             "R: {kind: resistor, resistance: 100 ohm}",
             "W1: {from: BAT.+, to: S.1}, W2: {from: S.2, to: K.86}, W3: {from: K.85, to: BAT.-}, "
             "W4: {from: BAT.+, to: K.30}, W5: {from: K.87, to: R.1}, W6: {from: R.2, to: BAT.-}",
             "strong: {S: on, supply: 12 V}, sagged: {S: on, supply: 6 V, from: strong}, "
             "weak: {S: on, supply: 6 V}, gone: {supply: 6 V, from: sagged}, "
             "again: {S: on, supply: 6 V, from: gone}");
    assert_string_equal(desk_says(&d, "strong", NULL, "K", NULL), "in");
    assert_string_equal(desk_says(&d, "sagged", NULL, "K", NULL), "in");
    assert_string_equal(desk_says(&d, "weak", NULL, "K", NULL), "out");
    assert_string_equal(desk_says(&d, "again", NULL, "K", NULL), "out");
    desk_near(desk_volts(&d, "sagged", NULL, "K.86", "K.85"), 6, 0.05, "as many volts");
    desk_near(desk_volts(&d, "weak", NULL, "K.86", "K.85"), 6, 0.05, "as here");
    /* 100 ohm in the coil's wire: 6 x 85 / 185 = 2.76 V hold it, 200 ohm: 1.79 V do not. But at 12
     * V 100 ohm leave 5.5 V from the start: it never comes. */
    assert_string_equal(desk_says(&d, "sagged", "K:coil-resistance=100ohm", "K", NULL), "out");
    assert_string_equal(desk_says(&d, "sagged", "K:coil-resistance=50ohm", "K", NULL), "in");
    desk_clear(&d);
}

/* Two pedal sensors of 1 kohm on one 5 V supply that gives 0.1 A. The wire of one chafes through to
 * ground over 10 ohm: 0.1 A x 9.8 ohm = 0.98 V are left for both, and the other sensor, which is
 * good, reads a tenth of that. */
static void a_neighbours_short_takes_the_reference_down(void **state) {
    (void)state;
    desk d;
    double volts = 0;
    desk_set(
        &d,
        "B: {kind: source, emf: 12 V}, A1: {kind: regulator}, G0: {kind: ground}, "
        "P1: {kind: potentiometer, resistance: 1 kohm, at-rest: 10 %}, "
        "P2: {kind: potentiometer, resistance: 1 kohm, at-rest: 10 %}, "
        "A2: {kind: module-input, pull: none, reads: voltage}, "
        "A3: {kind: module-input, pull: none, reads: voltage}",
        "W1: {from: B.+, to: A1.15}, W2: {from: A1.31, to: B.-}, W3: {from: A1.out, to: P1.1}, "
        "W4: {from: A1.out, to: P2.1, size: 0.5 mm2, length: 1 m}, W5: {from: P1.3, to: B.-}, "
        "W6: {from: P2.3, to: B.-}, W7: {from: P1.2, to: A2.in}, W8: {from: P2.2, to: A3.in}, "
        "W9: {from: A2.31, to: B.-}, W10: {from: A3.31, to: B.-}, W11: {from: B.-, to: G0}, "
        "W12: {from: A2.15, to: B.+}, W13: {from: A3.15, to: B.+}",
        NULL);
    assert_string_equal(desk_says(&d, NULL, NULL, "A2", &volts), "voltage");
    desk_near(volts, 0.5, 0.01, "a tenth of 5 V");
    const char *chafed = "W4:short-to-ground=10ohm";
    assert_string_equal(desk_says(&d, NULL, chafed, "A1", NULL), "limited");
    desk_near(desk_volts(&d, NULL, chafed, "P1.1", "B.-"), 0.98, 0.02, "0.1 A in 9.8 ohm");
    assert_string_equal(desk_says(&d, NULL, chafed, "A2", &volts), "too-low");
    desk_near(volts, 0.098, 0.003, "P1 is good");
    desk_clear(&d);
}

/* Two faults at once add up as the circuit has it. 12 V ideal, a wire of 34.5 mohm (1 m of 0.5 mm2)
 * to a relay's contact, 2 ohm behind it. */
static void faults_come_in_pairs(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, K: {kind: relay, contact: 0.1 mohm}, "
             "R: {kind: resistor, resistance: 2 ohm}, G0: {kind: ground}",
             "W1: {from: B.+, to: K.30, size: 0.5 mm2, length: 1 m}, W2: {from: B.+, to: K.86}, "
             "W3: {from: K.85, to: B.-}, W4: {from: K.87, to: R.1}, W5: {from: R.2, to: B.-}, "
             "W6: {from: B.-, to: G0}",
             NULL);
    /* On one part: 2 ohm in the contact, and a coil circuit of 50 ohm more, which still pulls in:
     * 12 x 2 / 4.0386 with terminals. */
    desk_near(
        desk_volts(&d, NULL, "K:contact-resistance=2ohm+K:coil-resistance=50ohm", "R.1", NULL),
        12 * 2 / 4.0386, 3e-3, "burnt, and a tired coil");
    /* With 100 ohm more it does not pull in, and the contact's state no longer matters. */
    desk_near(
        desk_volts(&d, NULL, "K:contact-resistance=2ohm+K:coil-resistance=100ohm", "R.1", NULL), 0,
        1e-3, "stays out");
    /* Broken and on ground behind the break: the feed ends at the break, no fuse blows. */
    desk_near(desk_volts(&d, NULL, "W1:open+W1:short-to-ground=1ohm", "K.30", NULL), 0, 1e-3,
              "on ground");
    /* Two places in one way: 1 ohm in the wire, 1 ohm in the terminal. */
    desk_near(desk_volts(&d, NULL, "W1:resistance=1ohm+K.30:resistance=1ohm", "R.1", NULL),
              12 * 2 / 4.0386, 3e-3, "1 + 1 + 2 ohm");
    /* An open ground hides behind an open feed. */
    desk_near(desk_volts(&d, NULL, "W4:open+W5:open", "R.1", NULL), 0, 1e-3, "between two breaks");
    desk_clear(&d);
}

/* Pins 1 and 2 changed over: 12 V come out at b2, and 0 V from the ground side at b1. With terminal
 * 1 broken as well its way is open, crossed or not; with 1 kohm on it, it has that. */
static void a_crossed_pin_may_be_bad_too(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, C: {kind: connector, cavities: 2, resistance: 2 mohm}, "
             "R1: {kind: resistor, resistance: 1 kohm}, R2: {kind: resistor, resistance: 1 kohm}, "
             "R3: {kind: resistor, resistance: 1 kohm}",
             "W1: {from: B.+, to: C.a1}, W2: {from: C.b1, to: R1.1}, W3: {from: R1.2, to: B.-}, "
             "W4: {from: C.b2, to: R2.1}, W5: {from: R2.2, to: B.-}, W6: {from: C.a2, to: R3.1}, "
             "W7: {from: R3.2, to: B.-}",
             NULL);
    static const struct {
        const char *fault;
        double volts; /* at b2 */
    } row[] = {{"C.1:crossed-with=2", 12},
               {"C.1:crossed-with=2+C.1:open", 0},
               {"C.1:crossed-with=2+C.2:open", 12},
               {"C.1:crossed-with=2+C.1:resistance=1kohm", 6}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk_near(desk_volts(&d, NULL, row[i].fault, "C.b2", NULL), row[i].volts, 1e-3,
                  row[i].fault);
        desk_near(desk_volts(&d, NULL, row[i].fault, "C.b1", NULL), 0, 1e-3, row[i].fault);
    }
    desk_clear(&d);
}

/* What comes and goes: with water in the plug, with a hand on it, with both faults at once only
 * while both have their reason. */
static void faults_come_and_go(void **state) {
    (void)state;
    static const char *const nothing[] = {"cool C"}, *const water[] = {"wet C"};
    static const char *const hand[] = {"tug C"}, *const both[] = {"wet C", "tug C"};
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, C: {kind: connector, cavities: 2, resistance: 2 mohm}, "
             "R1: {kind: resistor, resistance: 1 kohm}, R2: {kind: resistor, resistance: 1 kohm}",
             "W1: {from: B.+, to: C.a1}, W2: {from: C.b1, to: R1.1}, W3: {from: R1.2, to: B.-}, "
             "W4: {from: C.b2, to: R2.1}, W5: {from: R2.2, to: B.-}, W6: {from: C.a2, to: R2.1}",
             NULL);
    const char *fault = "C.1:leak-to=2,2kohm@wet+C.1:spread=1kohm";
    d.question.n_after = 1;
    d.question.after = nothing;
    desk_near(desk_volts(&d, NULL, fault, "R1.1", NULL), 12, 1e-3, "dry and still");
    desk_near(desk_volts(&d, NULL, fault, "R2.1", NULL), 0, 1e-3, "no leak");
    d.question.after = water; /* 12 x 1 / 3 */
    desk_near(desk_volts(&d, NULL, fault, "R2.1", NULL), 4, 0.01, "2 kohm of water");
    desk_near(desk_volts(&d, NULL, fault, "R1.1", NULL), 12, 1e-3, "the terminal holds");
    d.question.after = hand; /* 12 x 1 / 2 */
    desk_near(desk_volts(&d, NULL, fault, "R1.1", NULL), 6, 0.01, "it opens under the hand");
    desk_near(desk_volts(&d, NULL, fault, "R2.1", NULL), 0, 1e-3, "still dry");
    d.question.after = both;
    d.question.n_after = 2;
    desk_near(desk_volts(&d, NULL, fault, "R1.1", NULL), 6, 0.01, "both");
    desk_near(desk_volts(&d, NULL, fault, "R2.1", NULL), 4, 0.01, "both");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bad_shared_ground_lights_the_wrong_lamps),
        cmocka_unit_test(a_motor_is_turned_by_what_should_be_its_ground),
        cmocka_unit_test(a_relay_holds_that_would_not_pull_in),
        cmocka_unit_test(a_neighbours_short_takes_the_reference_down),
        cmocka_unit_test(faults_come_in_pairs),
        cmocka_unit_test(a_crossed_pin_may_be_bad_too),
        cmocka_unit_test(faults_come_and_go),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
