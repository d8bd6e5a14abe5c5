/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Each instrument loads the circuit as a real one does, and shows what its display can show.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "sim/instrument.h"
#include "tests/sim/asked.h"

#define FEED "B: {kind: source, emf: 12 V}, "
#define GAP(id) id ": {kind: switch, positions: {released: [], pressed: [[1, 2]]}}"
#define LOOP "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B.-}"

/* T. R. Kuphaldt, Lessons in Electric Circuits, vol. I, "Voltmeter impact on measured circuit": 24
 * V over 250 Mohm and 250 Mohm, 10 Mohm meter on either: 0.8889 V; unloaded it would be 12 V. Every
 * reading is loaded by itself alone. */
static void a_voltmeter_loads_each_reading_alone(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 24 V}, R1: {kind: resistor, resistance: 250 Mohm}, R2: {kind: "
             "resistor, resistance: 250 Mohm}",
             LOOP, NULL);
    const bp_pair pairs[] = {{"R2.1", NULL}, {"R1.1", NULL}, {"R1.2", NULL}, {"B.+", NULL}};
    bp_question q = reading_of("on", BP_VOLTS, pairs);
    q.n_pairs = 4;
    bp_answer *a = asked(&d, &q);
    desk_near(a->states[0].readings[0].value, 0.8889, 3e-4, "Kuphaldt");
    desk_near(a->states[0].readings[2].value, 0.8889, 3e-4, "Kuphaldt");
    desk_near(a->states[0].readings[1].value, 24, 1e-4, "at the source");
    assert_string_equal(a->states[0].readings[0].display, "0.889 V");
    assert_string_equal(a->states[0].readings[3].display, "24.00 V");
    bp_answer_free(&a);
    desk_near(read_one(&d, BP_VOLTS, "R1.1", "R1.2").value, 0.8889, 3e-4, "Kuphaldt");
    desk_clear(&d);
}

/* 60 mV range: a shunt of 1 mohm in 100 ohm carries 0.12 A and drops 0.12 mV; over 600 mV the
 * display shows OL. */
static void millivolts_show_little_and_no_more(void **state) {
    (void)state;
    desk d;
    desk_set(
        &d,
        FEED
        "R1: {kind: resistor, resistance: 99.9 ohm}, R2: {kind: resistor, resistance: 0.1 ohm}",
        LOOP, NULL);
    const bp_reading r = read_one(&d, BP_MILLIVOLTS, "R2.1", NULL);
    desk_near(r.value, 0.012, 1e-6, "divider");
    assert_string_equal(r.display, "12.0 mV");
    const bp_reading over = read_one(&d, BP_MILLIVOLTS, "R1.1", NULL);
    assert_int_equal(over.status, BP_READING_OVER);
    assert_string_equal(over.display, "OL");
    assert_true(isnan(over.value));
    desk_clear(&d);
}

/* Behind an open switch the ohmmeter sees what lies between its leads, its leads' 0.2 ohm included.
 */
static void ohms_read_what_lies_between_the_leads(void **state) {
    (void)state;
    static const struct {
        const char *ohm, *display;
        double value;
    } row[] = {{"0.2 ohm", "0.4 Ω", 0.4},          {"330 ohm", "330.2 Ω", 330.2},
               {"4.7 kohm", "4.700 kΩ", 4700.2},   {"33 kohm", "33.00 kΩ", 33000.2},
               {"220 kohm", "220.0 kΩ", 220000.2}, {"1 Mohm", "1.000 MΩ", 1000000.2}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        char parts[300];
        snprintf(parts, sizeof parts,
                 FEED GAP("S") ", R1: {kind: resistor, resistance: %s}, R2: {kind: resistor, "
                               "resistance: %s}",
                 row[i].ohm, row[i].ohm);
        desk_set(&d, parts,
                 "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R1.1}, W3: {from: R1.2, to: R2.1}, "
                 "W4: {from: R2.2, to: B.-}",
                 NULL);
        const bp_reading r = read_one(&d, BP_OHMS, "R1.1", "R1.2");
        desk_near(r.value, row[i].value, 1e-3 + row[i].value * 3e-4, "resistor and leads");
        assert_string_equal(r.display, row[i].display);
        desk_near(read_one(&d, BP_OHMS, "R1.1", "R2.2").value, 2 * row[i].value - 0.2,
                  1e-3 + row[i].value * 3e-4, "both in a row");
        desk_clear(&d);
    }
}

/* Two of 100 ohm side by side are 50: the sneak path counts. With both open the display shows OL.
 */
static void sneak_paths_count(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             FEED GAP("S") ", R1: {kind: resistor, resistance: 100 ohm}, R2: {kind: resistor, "
                           "resistance: 100 ohm}",
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R1.1}, W3: {from: R1.1, to: R2.1}, "
             "W4: {from: R1.2, to: B.-}, W5: {from: R2.2, to: B.-}",
             NULL);
    desk_near(read_one(&d, BP_OHMS, "R1.1", "R1.2").value, 50.2, 1e-2, "side by side");
    const bp_pair pair = {"R1.1", "R1.2"};
    bp_question q = reading_of("on", BP_OHMS, &pair);
    q.faults = "R1:open+R2:open";
    bp_answer *a = asked(&d, &q);
    assert_int_equal(a->states[0].readings[0].status, BP_READING_OVER);
    assert_string_equal(a->states[0].readings[0].display, "OL");
    bp_answer_free(&a);
    desk_clear(&d);
}

#define CHARGED "A1: {kind: alternator, current: 90 A}, H1: {kind: lamp, power: 3 W}"
#define CHARGED_WIRES                                                                              \
    "W1: {from: BAT.+, to: A1.B+}, W2: {from: A1.31, to: BAT.-}, W3: {from: BAT.+, to: R1.1}, "    \
    "W4: {from: R1.2, to: BAT.-}, W5: {from: BAT.+, to: H1.1}, W6: {from: H1.2, to: A1.D+}"

/* With the battery off the circuit hangs on the meter's black lead alone, though regulators,
 * alternators and a battery beside one are laws that bend. Of a module that is fed less than it
 * drops its resistance is left: 12 V at its 100 mA are 120 ohm; of an alternator that stands still
 * next to nothing beside 50 ohm. 0.2 ohm are leads. */
static void ohms_read_what_hangs_in_the_air(void **state) {
    (void)state;
    static const char *const off[] = {"disconnect BAT"};
    static const struct {
        const char *part, *wires, *red;
        double value, within;
    } row[] = {{"U1: {kind: regulator, volts: 5 V, draw: 100 mA}",
                "W1: {from: BAT.+, to: U1.15}, W2: {from: U1.31, to: BAT.-}, "
                "W3: {from: U1.out, to: R1.1}, W4: {from: R1.2, to: BAT.-}",
                "U1.15", 120.2, 0.1},
               {CHARGED, CHARGED_WIRES, "A1.B+", 50.2, 0.2},
               {CHARGED, CHARGED_WIRES, "BAT/+", INFINITY, 0}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        char parts[300];
        snprintf(parts, sizeof parts,
                 "BAT: {kind: battery}, R1: {kind: resistor, resistance: 50 ohm}, %s", row[i].part);
        desk_set(&d, parts, row[i].wires, "on: {}");
        const bp_pair pair = {row[i].red, NULL};
        bp_question q = reading_of("on", BP_OHMS, &pair);
        q.after = off;
        q.n_after = 1;
        bp_answer *a = asked(&d, &q);
        const bp_reading *r = &a->states[0].readings[0];
        if (isinf(row[i].value))
            assert_int_equal(r->status, BP_READING_OVER);
        else
            desk_near(r->value, row[i].value, row[i].within, row[i].part);
        bp_answer_free(&a);
        desk_clear(&d);
    }
}

/* Over 10 mV between the leads there is no reading, and the reason is told. */
static void ohms_need_a_dead_circuit(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             FEED
             "R1: {kind: resistor, resistance: 1 kohm}, R2: {kind: resistor, resistance: 2 ohm}",
             LOOP, NULL);
    const bp_pair pair = {"R2.1", "R2.2"};
    const bp_question q = reading_of("on", BP_OHMS, &pair);
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_int_equal(r->status, BP_READING_NONE);
    assert_string_equal(r->why,
                        "24 mV already stands between the leads: an ohmmeter needs a dead circuit");
    assert_true(isnan(r->value));
    bp_answer_free(&a);
    desk_clear(&d);
}

/* T. R. Kuphaldt, same volume, "Ammeter impact": 2 V; 3 ohm parallel 1.5 ohm; an ammeter of 0.5 ohm
 * in the first branch shows 571.43 mA instead of 666.7, in the second 1 A instead of 1.333. Ours
 * has 0.03 ohm: the book's other 0.47 ohm stand beside it. */
static void an_ammeter_is_part_of_the_circuit(void **state) {
    (void)state;
    static const struct {
        const char *ohm;
        double value, unloaded;
    } row[] = {{"3 ohm", 0.57143, 0.6667}, {"1.5 ohm", 1.0, 1.3333}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        char parts[300];
        snprintf(parts, sizeof parts,
                 "B: {kind: source, emf: 2 V}, R1: {kind: resistor, resistance: %s}, A: {kind: "
                 "resistor, resistance: 0.47 ohm}, " GAP("S"),
                 row[i].ohm);
        desk_set(&d, parts,
                 "W1: {from: B.+, to: A.1}, W2: {from: A.2, to: S.1}, W3: {from: S.2, to: R1.1}, "
                 "W4: {from: R1.2, to: B.-}",
                 NULL);
        const bp_reading r = read_one(&d, BP_AMPS, "S.1", "S.2");
        desk_near(r.value, row[i].value, 1e-4, "Kuphaldt");
        assert_true(r.value < row[i].unloaded);
        desk_clear(&d);
    }
}

/* 12 V through 0.5 ohm and 0.03 ohm would be 22.6 A: the meter's fuse blows, and that is no
 * reading. */
static void too_many_amps_blow_the_meters_fuse(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             FEED GAP("S1") ", " GAP("S2") ", R1: {kind: resistor, resistance: 0.5 ohm}, R2: "
                                           "{kind: resistor, resistance: 2 ohm}",
             "W1: {from: B.+, to: S1.1}, W2: {from: S1.2, to: R1.1}, W3: {from: R1.2, to: B.-}, "
             "W4: {from: B.+, to: S2.1}, W5: {from: S2.2, to: R2.1}, W6: {from: R2.2, to: B.-}",
             NULL);
    const bp_pair pair = {"S1.1", "S1.2"};
    const bp_question q = reading_of("on", BP_AMPS, &pair);
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_int_equal(r->status, BP_READING_NONE);
    assert_string_equal(r->why, "23 A would flow: the meter's 10 A fuse blows");
    bp_answer_free(&a);
    const bp_reading good = read_one(&d, BP_AMPS, "S2.1", "S2.2");
    desk_near(good.value, 12 / 2.03, 1e-3, "12 V through 2 ohm and the meter");
    assert_string_equal(good.display, "5.911 A");
    /* Both in one question: the meter is in one place at a time. */
    const bp_pair both[] = {{"S2.1", "S2.2"}, {"S1.1", "S1.2"}};
    bp_question two = reading_of("on", BP_AMPS, both);
    two.n_pairs = 2;
    a = asked(&d, &two);
    desk_near(a->states[0].readings[0].value, 12 / 2.03, 1e-3, "the first place");
    assert_int_equal(a->states[0].readings[1].status, BP_READING_NONE);
    bp_answer_free(&a);
    desk_clear(&d);
}

/* In the place of a fuse, or of a relay's contact: 12 V through 3 ohm and the meter's 30 mohm; the
 * fuse's own resistance is not there. Without the fuse's part there is no such place. */
static void an_ammeter_takes_a_parts_place(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             FEED "F: {kind: fuse, rating: 10 A}, K: {kind: relay}, R: {kind: resistor, "
                  "resistance: 3 ohm}, " GAP("S"),
             "W1: {from: B.+, to: F.1}, W2: {from: F.2, to: K.30}, W3: {from: K.87, to: R.1}, "
             "W4: {from: R.2, to: B.-}, W5: {from: B.+, to: S.1}, W6: {from: S.2, to: K.86}, "
             "W7: {from: K.85, to: B.-}",
             "on: {}, pressed: {S: pressed}");
    bp_question q = BP_QUESTION_INIT;
    q.instrument = BP_AMPS;
    q.state = "on";
    q.at = "K";
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &a->states[0].readings[0];
    assert_string_equal(r->at, "K");
    assert_string_equal(r->red, "K.30");
    assert_string_equal(r->black, "K.87");
    desk_near(r->value, 12 / 3.03, 0.02, "in the relay's socket; fuse and its pins in line");
    bp_answer_free(&a);
    q.state = "pressed";
    q.at = "F";
    a = asked(&d, &q);
    desk_near(a->states[0].readings[0].value, 12 / 3.03, 0.02, "in the fuse's place");
    bp_answer_free(&a);
    q.at = "G";
    assert_string_equal(refused(&d, &q), "there is no part G in desk");
    q.at = "B";
    assert_non_null(strstr(refused(&d, &q), "an ammeter takes the place of a part that comes out"));
    q.at = "F";
    q.instrument = BP_VOLTS;
    assert_non_null(strstr(refused(&d, &q), "goes with amps"));
    desk_clear(&d);
}

/* A point that lies open only with the plug off is read with the plug off, and says so; the others
 * are not. */
static void a_point_in_an_open_plug_is_unloaded(void **state) {
    (void)state;
    desk d;
    desk_set(&d, FEED "R1: {kind: resistor, resistance: 60 ohm}, H: {kind: lamp, power: 5 W}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: H.1}, W3: {from: H.2, to: B.-}}\n"
             "points: {A: {at: H.1, reach: back-probe}, P: {at: H.1, reach: plug-open}",
             NULL);
    bp_question q = BP_QUESTION_INIT;
    bp_answer *a = asked(&d, &q);
    const bp_state_answer *s = &a->states[0];
    assert_int_equal(s->n_readings, 2);
    assert_string_equal(s->readings[0].point, "A");
    assert_false(s->readings[0].unloaded);
    assert_true(s->readings[0].value < 6);
    assert_string_equal(s->readings[1].point, "P");
    assert_true(s->readings[1].unloaded);
    desk_near(s->readings[1].value, 12, 1e-3, "no current, no drop");
    bp_answer_free(&a);
    desk_clear(&d);
}

/* Behind 1 ohm the lamp is bright, behind 50 ohm it dims, behind 10 kohm it stays dark, although a
 * voltmeter shows 12 V at all three: that is what a test lamp is for. */
static void a_test_lamp_loads_the_point(void **state) {
    (void)state;
    static const struct {
        const char *ohm, *display;
    } row[] = {{"1 ohm", "bright"}, {"50 ohm", "dim"}, {"10 kohm", "off"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        char parts[200];
        snprintf(parts, sizeof parts, FEED "R1: {kind: resistor, resistance: %s}, " GAP("S"),
                 row[i].ohm);
        desk_set(&d, parts,
                 "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: S.1}, W3: {from: S.2, to: B.-}",
                 NULL);
        desk_near(read_one(&d, BP_VOLTS, "S.1", NULL).value, 12, 0.02, "no load");
        assert_string_equal(read_one(&d, BP_TEST_LAMP, "S.1", NULL).display, row[i].display);
        desk_clear(&d);
    }
}

/* 12 V at 3 W are 0.25 A, so 1 ohm before the lamp drops 0.25 V, and 0.55 is the exponent of the
 * current over the voltage (Fink and Beaty): with V at the lamp, 12 - V = 1.2 * 0.25 * (V /
 * 12)^0.55, 0.2 ohm in the leads. */
static void the_lamps_current_follows_its_filament(void **state) {
    (void)state;
    desk d;
    desk_set(&d, FEED "R1: {kind: resistor, resistance: 20 ohm}, " GAP("S"),
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: S.1}, W3: {from: S.2, to: B.-}",
             NULL);
    double v = 12;
    for (int i = 0; i < 200; i++)
        v = 0.5 * (v + 12 - 20.2 * 0.25 * pow(v / 12, 0.55));
    desk_near(read_one(&d, BP_TEST_LAMP, "S.1", NULL).value, pow(v / 12, 3.4), 2e-3,
              "filament law");
    desk_clear(&d);
}

/* The lamp across the open switch feeds the coil through 85 ohm and its cold filament: the relay
 * pulls in, and its second contact takes the lamp's black lead to feed as well, so the lamp goes
 * dark; had the relay stayed out, it would glow with the coil's current. */
static void a_test_lamp_can_move_a_relay(void **state) {
    (void)state;
    desk d;
    desk_set(&d, FEED "K: {kind: relay}, " GAP("S"),
             "W1: {from: B.+, to: K.30}, W2: {from: K.85, to: B.-}, W3: {from: K.87, to: K.86}, "
             "W5: {from: K.86, to: S.1}, W6: {from: S.2, to: B.+}",
             "on: {}");
    assert_string_equal(read_one(&d, BP_TEST_LAMP, "S.2", "S.1").display, "off");
    assert_string_equal(desk_says(&d, "on", NULL, "K", NULL), "out");
    bp_pair pair = {"S.2", "S.1"};
    bp_question q = reading_of("on", BP_TEST_LAMP, &pair);
    q.faults = "K:stuck-out";
    bp_answer *a = asked(&d, &q);
    assert_string_equal(a->states[0].readings[0].display, "dim");
    bp_answer_free(&a);
    desk_clear(&d);
}

static void displays_have_six_thousand_counts(void **state) {
    (void)state;
    static const struct {
        bp_instrument instrument;
        double value;
        const char *text;
    } row[] = {{BP_VOLTS, 12.4149, "12.41 V"},      {BP_VOLTS, 5.9994, "5.999 V"},
               {BP_VOLTS, 5.9996, "6.00 V"},        {BP_VOLTS, -0.0004, "0.000 V"},
               {BP_VOLTS, -1.2344, "-1.234 V"},     {BP_VOLTS, 123.45, "123.5 V"},
               {BP_MILLIVOLTS, 0.01234, "12.3 mV"}, {BP_OHMS, 0, "0.0 Ω"},
               {BP_OHMS, 599.96, "0.600 kΩ"},       {BP_AMPS, 0.0123, "0.012 A"},
               {BP_AMPS, 7.344, "7.34 A"},          {BP_TEST_LAMP, 0.004, "off"},
               {BP_TEST_LAMP, 0.1, "dim"},          {BP_TEST_LAMP, 0.9, "bright"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        char text[24];
        bp_instruments[row[i].instrument]->show(row[i].value, text, sizeof text);
        assert_string_equal(text, row[i].text);
    }
}

static void instruments_are_found_by_name(void **state) {
    (void)state;
    bp_instrument found = BP_OHMS;
    for (int i = 0; i < BP_N_INSTRUMENTS; i++) {
        assert_true(bp_instrument_find(bp_instrument_name((bp_instrument)i), &found));
        assert_int_equal(found, i);
    }
    assert_false(bp_instrument_find("multimeter", &found));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_voltmeter_loads_each_reading_alone),
        cmocka_unit_test(millivolts_show_little_and_no_more),
        cmocka_unit_test(ohms_read_what_lies_between_the_leads),
        cmocka_unit_test(sneak_paths_count),
        cmocka_unit_test(ohms_read_what_hangs_in_the_air),
        cmocka_unit_test(ohms_need_a_dead_circuit),
        cmocka_unit_test(an_ammeter_is_part_of_the_circuit),
        cmocka_unit_test(too_many_amps_blow_the_meters_fuse),
        cmocka_unit_test(an_ammeter_takes_a_parts_place),
        cmocka_unit_test(a_point_in_an_open_plug_is_unloaded),
        cmocka_unit_test(a_test_lamp_loads_the_point),
        cmocka_unit_test(the_lamps_current_follows_its_filament),
        cmocka_unit_test(a_test_lamp_can_move_a_relay),
        cmocka_unit_test(displays_have_six_thousand_counts),
        cmocka_unit_test(instruments_are_found_by_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
