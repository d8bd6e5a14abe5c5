/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A relay on 12 V: coil 85 ohm, pull-in 7.2 V (84.7 mA), drop-out 2.2 V (25.9 mA), contact 1.5 mohm
 * and 2 mohm in each plug pin. Load R1, 10 ohm, on 87.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define FED "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 10 ohm}"
#define LOAD "W3: {from: B.+, to: K.30}, W4: {from: K.87, to: R1.1}, W5: {from: R1.2, to: B.-}"
#define DIRECT "W1: {from: B.+, to: K.86}, W2: {from: K.85, to: B.-}, " LOAD
/* The coil through RS, which S1 bridges while it is pressed. */
#define SLOWED(ohm)                                                                                \
    FED ", K: {kind: relay}, RS: {kind: resistor, resistance: " ohm " ohm}, "                      \
        "S1: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}"
#define SLOWED_WIRES                                                                               \
    "W1: {from: B.+, to: RS.1}, W2: {from: RS.2, to: K.86}, W6: {from: K.85, to: B.-}, "           \
    "W7: {from: B.+, to: S1.1}, W8: {from: S1.2, to: K.86}, " LOAD
#define SLOWED_STATES                                                                              \
    "first: {}, pressed: {S1: pressed, from: first}, again: {S1: released, from: pressed}"

/* 12 V * 10 / (10 + 0.0015 + 2 * 0.002) = 11.9934 V on the load. */
static void a_good_relay_passes_the_feed(void **state) {
    (void)state;
    desk d;
    desk_set(&d, FED ", K: {kind: relay}", DIRECT, NULL);
    assert_string_equal(desk_says(&d, NULL, NULL, "K", NULL), "in");
    desk_near(desk_volts(&d, NULL, NULL, "R1.1", NULL), 11.9934, 1e-3, "divider");
    desk_clear(&d);
}

/* Through RS the coil has 12 * 85 / (85 + RS): 7.23 V at 56 ohm pulls in, 7.13 V at 58 does not;
 * once in, 2.24 V at 370 ohm holds and 2.15 V at 390 lets go. */
static void it_moves_at_its_voltages(void **state) {
    (void)state;
    static const struct {
        const char *parts, *first, *again;
    } row[] = {{SLOWED("56"), "in", "in"},
               {SLOWED("58"), "out", "in"},
               {SLOWED("370"), "out", "in"},
               {SLOWED("390"), "out", "out"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        desk_set(&d, row[i].parts, SLOWED_WIRES, SLOWED_STATES);
        assert_string_equal(desk_says(&d, "first", NULL, "K", NULL), row[i].first);
        assert_string_equal(desk_says(&d, "pressed", NULL, "K", NULL), "in");
        assert_string_equal(desk_says(&d, "again", NULL, "K", NULL), row[i].again);
        desk_clear(&d);
    }
}

/* The current that pulls in stays 84.7 mA. Through 40 ohm, at 20 degC: 12 / 125 = 96 mA. At
 * 85 degC the coil has 85 * (1 + 0.00393 * 65) = 106.7 ohm: 12 / 146.7 = 81.8 mA. */
static void a_hot_coil_needs_more_volts(void **state) {
    (void)state;
    desk d;
    desk_set(&d, SLOWED("40"), SLOWED_WIRES, SLOWED_STATES);
    assert_string_equal(desk_says(&d, "first", NULL, "K", NULL), "in");
    d.question.ambient = 85;
    assert_string_equal(desk_says(&d, "first", NULL, "K", NULL), "out");
    desk_near(desk_volts(&d, "first", NULL, "K.86", NULL), 12 * 106.71 / 146.71, 2e-3,
              "copper 0.00393/K");
    desk_clear(&d);
}

static void each_coil_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, SLOWED("10"), SLOWED_WIRES, SLOWED_STATES);
    /* Open: no current, so all of 12 V through RS, and no load. */
    assert_string_equal(desk_says(&d, "first", "K:coil-open", "K", NULL), "out");
    desk_near(desk_volts(&d, "first", "K:coil-open", "K.86", NULL), 12, 1e-3, "no current");
    /* Six turns of ten shorted: 34 ohm; 12 * 34 / 44 = 9.273 V, and the volts decide: in. */
    desk_near(desk_volts(&d, "first", "K:coil-shorted-turns=60%", "K.86", NULL), 9.273, 2e-3,
              "divider");
    assert_string_equal(desk_says(&d, "first", "K:coil-shorted-turns=60%", "K", NULL), "in");
    /* 100 ohm more: 12 / 195 = 61.5 mA, too little; 12 * 185 / 195 = 11.385 V stand at 86. */
    assert_string_equal(desk_says(&d, "first", "K:coil-resistance=100ohm", "K", NULL), "out");
    desk_near(desk_volts(&d, "first", "K:coil-resistance=100ohm", "K.86", NULL), 11.385, 2e-3,
              "divider");
    /* The coil has 12 * 85 / 95 = 10.7 V. */
    assert_string_equal(desk_says(&d, "first", "K:pulls-in-late=10.6V", "K", NULL), "in");
    assert_string_equal(desk_says(&d, "first", "K:pulls-in-late=10.8V", "K", NULL), "out");
    /* 24 V relay: 340 ohm, 14.4 V. 12 * 340 / 350 = 11.657 V. */
    assert_string_equal(desk_says(&d, "first", "K:wrong-voltage", "K", NULL), "out");
    desk_near(desk_volts(&d, "first", "K:wrong-voltage", "K.86", NULL), 11.657, 2e-3, "divider");
    desk_clear(&d);
}

/* Pins 86 and 30 part ways: with 86 dead, a relay of the other pattern has its coil between 30 and
 * 85, pulls in for good and joins 86 to 87. */
static void each_contact_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             FED ", K: {kind: relay, contacts: change-over}, "
                 "R2: {kind: resistor, resistance: 10 ohm}, "
                 "S1: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}",
             "W1: {from: B.+, to: S1.1}, W2: {from: S1.2, to: K.86}, W6: {from: K.85, to: B.-}, "
             "W7: {from: K.87a, to: R2.1}, W8: {from: R2.2, to: B.-}, " LOAD,
             "out: {}, in: {S1: pressed}");
    desk_near(desk_volts(&d, "out", NULL, "R2.1", NULL), 11.9934, 1e-3, "rest contact");
    desk_near(desk_volts(&d, "out", NULL, "R1.1", NULL), 0, 1e-3, "make contact open");
    desk_near(desk_volts(&d, "in", NULL, "R2.1", NULL), 0, 1e-3, "rest contact open");
    desk_near(desk_volts(&d, "in", "K:contact-open", "R1.1", NULL), 0, 1e-3, "open");
    assert_string_equal(desk_says(&d, "in", "K:contact-open", "K", NULL), "in");
    /* 120 / (10 + 1 + 0.0055) */
    desk_near(desk_volts(&d, "in", "K:contact-resistance=1ohm", "R1.1", NULL), 10.9036, 1e-3,
              "burnt");
    /* Nothing in series with 1000 ohm but 10: 12 * 10 / 1010. */
    desk_near(desk_volts(&d, "out", "K:contact-leak=1kohm", "R1.1", NULL), 0.1188, 1e-3, "leak");
    desk_near(desk_volts(&d, "out", "K:contact-87a-open", "R2.1", NULL), 0, 1e-3, "open");
    desk_near(desk_volts(&d, "out", "K:contact-87a-resistance=2ohm", "R2.1", NULL), 9.9954, 1e-3,
              "120 / 12.0055");
    static const char *const held[] = {"K:contact-welded", "K:stuck-in"};
    for (size_t i = 0; i < 2; i++) {
        assert_string_equal(desk_says(&d, "out", held[i], "K", NULL), "in");
        desk_near(desk_volts(&d, "out", held[i], "R1.1", NULL), 11.9934, 1e-3, "held in");
        desk_near(desk_volts(&d, "out", held[i], "R2.1", NULL), 0, 1e-3, "held in");
    }
    assert_string_equal(desk_says(&d, "in", "K:stuck-out", "K", NULL), "out");
    desk_near(desk_volts(&d, "in", "K:stuck-out", "R2.1", NULL), 11.9934, 1e-3, "held out");
    assert_string_equal(desk_says(&d, "out", "K:wrong-pattern", "K", NULL), "in");
    desk_near(desk_volts(&d, "out", "K:wrong-pattern", "R1.1", NULL), 0, 1e-3, "86 is dead");
    desk_near(desk_volts(&d, "in", "K:wrong-pattern", "R1.1", NULL), 11.98, 0.02, "86 is fed");
    desk_clear(&d);
}

/* The fuse carries the coil: 0.14 A good; the diode the wrong way round takes (12 - 0.9) V over
 * little more than its 0.05 ohm, far past any 5 A fuse. Open, nothing can be seen. */
static void suppression_faults_blow_or_hide(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        FED ", K: {kind: relay, suppression: {diode: cathode-86}}, "
            "F1: {kind: fuse, rating: 5 A}",
        "W1: {from: B.+, to: F1.1}, W2: {from: F1.2, to: K.86}, W6: {from: K.85, to: B.-}, " LOAD,
        NULL);
    double good = desk_volts(&d, NULL, NULL, "K.86", NULL);
    assert_false(desk_blown(&d, NULL, NULL, "F1"));
    assert_true(desk_blown(&d, NULL, "K:diode-reversed", "F1"));
    assert_true(desk_blown(&d, NULL, "K:diode-shorted=0.1ohm", "F1"));
    assert_string_equal(desk_says(&d, NULL, "K:diode-shorted=0.1ohm", "K", NULL), "out");
    desk_near(desk_volts(&d, NULL, "K:suppression-open", "K.86", NULL), good, 1e-6,
              "a blocking diode carries nothing");
    desk_clear(&d);
    /* A resistor of 680 ohm beside 85: 75.56 ohm; 12 * 75.56 / 175.56 = 5.165 V through 100 ohm,
     * 60.8 mA in the coil; open, 12 * 85 / 185 = 5.514 V. */
    desk_set(
        &d,
        FED ", K: {kind: relay, suppression: {resistor: 680 ohm}}, "
            "RS: {kind: resistor, resistance: 100 ohm}",
        "W1: {from: B.+, to: RS.1}, W2: {from: RS.2, to: K.86}, W6: {from: K.85, to: B.-}, " LOAD,
        NULL);
    desk_near(desk_volts(&d, NULL, NULL, "K.86", NULL), 5.165, 1e-3, "parallel");
    desk_near(desk_volts(&d, NULL, "K:suppression-open", "K.86", NULL), 5.514, 1e-3, "alone");
    desk_clear(&d);
}

/* A relay that feeds its coil through its own rest contact cannot rest: a buzzer. */
static void a_relay_that_cuts_its_own_feed_chatters(void **state) {
    (void)state;
    desk d;
    desk_set(&d, "B: {kind: source, emf: 12 V}, K: {kind: relay, contacts: break}",
             "W1: {from: B.+, to: K.30}, W2: {from: K.87a, to: K.86}, W3: {from: K.85, to: B.-}",
             NULL);
    assert_string_equal(desk_says(&d, NULL, NULL, "K", NULL), "chatter");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_good_relay_passes_the_feed),
        cmocka_unit_test(it_moves_at_its_voltages),
        cmocka_unit_test(a_hot_coil_needs_more_volts),
        cmocka_unit_test(each_coil_fault_has_its_reading),
        cmocka_unit_test(each_contact_fault_has_its_reading),
        cmocka_unit_test(suppression_faults_blow_or_hide),
        cmocka_unit_test(a_relay_that_cuts_its_own_feed_chatters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
