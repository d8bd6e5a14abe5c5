/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which instruments and senses tell a fault: small circuits in which that follows from Ohm's law.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <backprobe/seen.h>

#include "tests/sim/asked.h"

static bp_seen seen_of(desk *d, const char *fault) {
    bp_seen seen;
    assert_int_equal(bp_seen_compute(d->lab, &fault, 1, &seen, NULL, NULL, d->report), BP_OK);
    assert_true(seen.solved);
    return seen;
}

static bool tells(const bp_seen *seen, bp_instrument instrument) {
    return (seen->instruments & 1u << instrument) != 0;
}

/* A battery, a fuse, a lamp of 21 W (1.6 A at 12.5 V), a wire of 1.5 mm2 and 2 m (23 mohm). */
static void set(desk *d) {
    desk_set(d,
             "BAT: {kind: battery}, F: {kind: fuse, rating: 10 A}, S: {kind: switch, positions: "
             "{released: [], pressed: [[1, 2]]}}, L: {kind: lamp, power: 21 W}, G: {kind: ground}",
             "W1: {from: BAT.+, to: F.1}, W2: {from: F.2, to: S.1}, W3: {from: S.2, to: L.1, size: "
             "1.5 mm2, length: 2 m}, W4: {from: L.2, to: G, size: "
             "1.5 mm2, length: 30 cm}, W5: {from: BAT.-, to: G}}\n"
             "points: {A: {at: L.1}, B: {at: L.2}",
             "off: {}, on: {S: pressed}");
}

/* An open wire takes 12 V from the lamp: every instrument at the point tells it, the eye sees the
 * dark lamp, the ohmmeter finds it open, the clamp and the ammeter find no current. Nothing is warm
 * and nothing sounds. */
static void an_open_wire_is_told_by_all(void **state) {
    (void)state;
    desk d;
    set(&d);
    const bp_seen seen = seen_of(&d, "W3:open");
    static const bp_instrument all[] = {BP_VOLTS, BP_VOLTS_LOADED, BP_MILLIVOLTS, BP_OHMS,
                                        BP_AMPS,  BP_AMPS_CLAMP,   BP_TEST_LAMP,  BP_LED_LAMP};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        assert_true(tells(&seen, all[i]));
    assert_int_equal(seen.senses, BP_SEEN);
    desk_clear(&d);
}

/* 60 mohm more in the wire: 1.6 A drop 0.1 V on it, which a voltmeter over the wire shows (good: 37
 * mV and its spread). The lamp loses 2 % of its volts and current, and no eye, hand, test lamp or
 * clamp (2 % and 0.15 A) tells. The ohmmeter shows 0.3 for 0.2 ohm, within its 2 counts. */
static void a_small_resistance_hides(void **state) {
    (void)state;
    desk d;
    set(&d);
    const bp_seen seen = seen_of(&d, "W3:resistance=60mohm");
    assert_true(tells(&seen, BP_VOLTS));
    assert_true(tells(&seen, BP_MILLIVOLTS));
    assert_false(tells(&seen, BP_OHMS));
    assert_false(tells(&seen, BP_TEST_LAMP));
    assert_false(tells(&seen, BP_LED_LAMP));
    assert_false(tells(&seen, BP_AMPS_CLAMP));
    assert_int_equal(seen.senses, 0);
    desk_clear(&d);
}

/* A spread terminal is good while it is left alone: it is told because it is tugged. What comes
 * with heat is told because it is heated; and a fault above 80 degC of a part that nothing else
 * warms, because the engine is. */
static void what_comes_and_goes_is_provoked(void **state) {
    (void)state;
    static const char *const faults[] = {"L.1:spread", "W3:open@tugged", "L:open@heated",
                                         "W3:open@engine>80degC"};
    for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
        desk d;
        set(&d);
        const bp_seen seen = seen_of(&d, faults[i]);
        if (!(seen.senses & BP_SEEN))
            fail_msg("%s is not told", faults[i]);
        desk_clear(&d);
    }
}

/* A short to ground of the wire that goes to ground anyway changes nothing; a blown fuse is seen.
 */
static void some_faults_are_told_by_nothing(void **state) {
    (void)state;
    desk d;
    set(&d);
    const bp_seen none = seen_of(&d, "W4:short-to-ground");
    assert_int_equal(none.instruments, 0);
    assert_int_equal(none.senses, 0);
    const bp_seen blown = seen_of(&d, "F:blown");
    assert_true(tells(&blown, BP_OHMS) && tells(&blown, BP_TEST_LAMP));
    assert_int_equal(blown.senses, BP_SEEN);
    desk_clear(&d);
}

static void count(void *data, size_t done, size_t of) {
    size_t *most = data;
    assert_true(done <= of);
    *most = done;
}

static void it_takes_single_faults_and_tells_how_far_it_is(void **state) {
    (void)state;
    desk d;
    set(&d);
    bp_seen seen[2];
    size_t most = 0;
    const char *const good[] = {"W3:open", "L:open"};
    assert_int_equal(bp_seen_compute(d.lab, good, 2, seen, count, &most, d.report), BP_OK);
    assert_true(most > 10);
    const char *const bad[] = {"W3:open", "W3:open+L:open"};
    assert_int_equal(bp_seen_compute(d.lab, bad, 2, seen, NULL, NULL, d.report), BP_ERR_USAGE);
    assert_string_equal(bp_report_at(d.report, bp_report_count(d.report) - 1)->text,
                        "W3:open+L:open is not a single fault of desk");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_open_wire_is_told_by_all),
        cmocka_unit_test(a_small_resistance_hides),
        cmocka_unit_test(what_comes_and_goes_is_provoked),
        cmocka_unit_test(some_faults_are_told_by_nothing),
        cmocka_unit_test(it_takes_single_faults_and_tells_how_far_it_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
