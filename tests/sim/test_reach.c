/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a point is reached: what lies open only with a plug off or a part out of its socket is read
 * with it off, by every instrument, and said to be so.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include <backprobe/load.h>

#include "sim/instrument.h"
#include "tests/sim/asked.h"

/* 12 V behind 1 ohm; a relay of 85 ohm whose contact feeds 5 ohm through a plug. In circuit 2.095 A
 * flow, 1.98 A of them through the plug: 9.905 V at the relay, 8 mV less at the plug. With the plug
 * off the coil alone leaves 11.86 V, with the relay out there are 12 V. */
static const char text[] =
    "backprobe: 1\nid: desk\ntitle: On the desk\n"
    "parts: {B: {kind: source, emf: 12 V, resistance: 1 ohm}, K: {kind: relay, contact: 0.1 mohm}, "
    "C: {kind: connector, cavities: 2, resistance: 1 uohm}, R: {kind: resistor, resistance: 5 "
    "ohm}}\n"
    "wires: {W1: {from: B.+, to: K.30}, W2: {from: K.87, to: C.a1}, W3: {from: C.b1, to: R.1}, "
    "W4: {from: R.2, to: C.b2}, W5: {from: C.a2, to: B.-}, W6: {from: B.+, to: K.86}, "
    "W7: {from: K.85, to: B.-}}\n"
    "points: {A: {at: C.a1}, P: {at: C.a1, reach: plug-open}, Q: {at: C.b1, reach: plug-open}, "
    "S: {at: K.30, reach: socket-part-out}, T: {at: K.30, reach: breakout-lead}}\n";

static void set(desk *d) {
    *d = (desk){.question = BP_QUESTION_INIT, .report = bp_report_new()};
    assert_int_equal(bp_load_text(text, sizeof text - 1, "desk", &d->circuit, d->report), BP_OK);
    d->lab = bp_lab_new(d->circuit, 1, d->report);
    assert_non_null(d->lab);
}

static bp_reading read_at(desk *d, bp_instrument instrument, const char *red, const char *action) {
    const bp_pair pair = {red, NULL};
    bp_question q = reading_of("on", instrument, &pair);
    q.after = &action;
    q.n_after = action ? 1 : 0;
    bp_answer *a = asked(d, &q);
    bp_reading r = state_in(a, "on", NULL)->readings[0];
    r.why = NULL; /* goes with the answer */
    bp_answer_free(&a);
    return r;
}

static void a_voltmeter_sees_the_open_place(void **state) {
    (void)state;
    static const struct {
        const char *red, *action;
        double volts;
        bool unloaded;
    } row[] = {
        {"A", NULL, 9.897, false},
        {"T", NULL, 9.905, false},
        {"P", NULL, 11.86, true},
        {"Q", NULL, 0, true},
        {"S", NULL, 12, true},
        {"A", "unplug C", 11.86, true},
        {"T", "pull K", 12, true},
        {"A", "pull K", 0, false}, /* nothing is open there */
        {"A", "load C.a1 C.a2 21W", 9.897, false},
    };
    desk d;
    set(&d);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const bp_reading r = read_at(&d, BP_VOLTS, row[i].red, row[i].action);
        if (i + 1 < sizeof row / sizeof *row)
            desk_near(r.value, row[i].volts, 3e-3, row[i].red);
        assert_int_equal(r.unloaded, row[i].unloaded);
    }
    desk_clear(&d);
}

/* Every instrument with leads: the place is read with the plug off and is said to be open; an
 * ammeter, which closes it again, carries a current there. Resistance from the dead half to the
 * reference is none: the load hangs in the air. */
static void every_instrument_opens_what_must_be_open(void **state) {
    (void)state;
    static const bp_instrument with_leads[] = {BP_VOLTS,   BP_VOLTS_LOADED, BP_MILLIVOLTS,
                                               BP_OHMS,    BP_DIODE_TEST,   BP_TEST_LAMP,
                                               BP_LED_LAMP};
    desk d;
    set(&d);
    for (size_t i = 0; i < sizeof with_leads / sizeof *with_leads; i++) {
        assert_true(read_at(&d, with_leads[i], "P", NULL).unloaded);
        assert_true(read_at(&d, with_leads[i], "S", NULL).unloaded);
        assert_false(read_at(&d, with_leads[i], "A", NULL).unloaded);
    }
    assert_string_equal(read_at(&d, BP_OHMS, "Q", NULL).display, "OL");
    assert_string_equal(read_at(&d, BP_TEST_LAMP, "Q", NULL).display, "off");
    assert_string_equal(read_at(&d, BP_TEST_LAMP, "P", NULL).display, "bright");
    /* From the fed half through the meter into the load, the other pin bridged: 5.05 ohm and the
     * coil's 85 ohm beside them behind 1 ohm: 1.96 A. */
    static const char *const bridge[] = {"jumper C.a2 C.b2"};
    const bp_pair across = {"P", "Q"};
    bp_question q = reading_of("on", BP_AMPS, &across);
    q.after = bridge;
    q.n_after = 1;
    bp_answer *a = asked(&d, &q);
    const bp_reading *r = &state_in(a, "on", NULL)->readings[0];
    assert_false(r->unloaded);
    desk_near(r->value, 1.963, 0.01, "back in the circuit through the meter");
    bp_answer_free(&a);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_voltmeter_sees_the_open_place),
        cmocka_unit_test(every_instrument_opens_what_must_be_open),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
