/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is done before a reading, and what is refused with its reason.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "tests/sim/asked.h"

/* Battery, fuse, a switch in a connector's ground side, and a lamp that needs 5 A. */
#define PARTS                                                                                      \
    "BAT: {kind: battery, charge: 100 %}, F4: {kind: fuse, rating: 10 A}, C12: {kind: connector, " \
    "cavities: 2}, R: {kind: resistor, resistance: 12 ohm}, "                                      \
    "H1: {kind: lamp, power: 21 W, in: A1}, H2: {kind: lamp, power: 5 W, in: A1}"
#define WIRES                                                                                      \
    "W1: {from: BAT.+, to: F4.1}, W2: {from: F4.2, to: C12.a1}, W3: {from: C12.b1, to: R.1}, "     \
    "W4: {from: R.2, to: C12.b2}, W5: {from: C12.a2, to: BAT.-}, W6: {from: F4.2, to: H1.1}, "     \
    "W7: {from: H1.2, to: BAT.-}, W8: {from: F4.2, to: H2.1}, W9: {from: H2.2, to: BAT.-}"

static double after(desk *d, const char *action, const char *red) {
    const char *const actions[] = {action};
    d->question.after = actions;
    d->question.n_after = action ? 1 : 0;
    const double volts = desk_volts(d, "on", NULL, red, NULL);
    d->question.n_after = 0;
    return volts;
}

static const char *refusal(desk *d, const char *action) {
    const bp_pair pair = {"F4.2", NULL};
    const char *const actions[] = {action};
    bp_question q = reading_of("on", BP_VOLTS, &pair);
    q.after = actions;
    q.n_after = 1;
    return refused(d, &q);
}

static void a_connector_comes_apart(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    assert_true(after(&d, NULL, "C12.b1") > 12);
    assert_true(after(&d, "unplug C12", "C12.a1") > 12);
    desk_near(after(&d, "unplug C12", "C12.b1"), 0, 1e-3, "the dead half");
    desk_clear(&d);
}

static void a_pulled_fuse_feeds_nothing(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    assert_true(after(&d, "pull F4", "F4.1") > 12);
    desk_near(after(&d, "pull F4", "F4.2"), 0, 1e-3, "behind the open socket");
    assert_false(desk_blown(&d, "on", NULL, "F4"));
    desk_clear(&d);
}

/* Parts in one housing come off together: both lamps of A1 are dark when either is unplugged, or
 * the housing is. */
static void a_housing_is_unplugged_as_a_whole(void **state) {
    (void)state;
    static const char *const ways[] = {"unplug A1", "unplug H1", "unplug H2"};
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    for (size_t i = 0; i < 3; i++) {
        d.question.after = &ways[i];
        d.question.n_after = 1;
        assert_string_equal(desk_says(&d, "on", NULL, "H1", NULL), "off");
        assert_string_equal(desk_says(&d, "on", NULL, "H2", NULL), "off");
    }
    d.question.n_after = 0;
    assert_string_not_equal(desk_says(&d, "on", NULL, "H1", NULL), "off");
    desk_clear(&d);
}

static void a_battery_is_disconnected(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    desk_near(after(&d, "disconnect BAT", "BAT.+"), 0, 1e-3, "the clamp is off its post");
    desk_clear(&d);
}

static void a_jumper_joins_two_places(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    const char *const actions[] = {"unplug C12", "jumper C12.a1 C12.b1"};
    d.question.after = actions;
    d.question.n_after = 2;
    assert_true(desk_volts(&d, "on", NULL, "C12.b1", NULL) > 12);
    desk_clear(&d);
}

static void harm_is_refused_with_its_reason(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    assert_non_null(
        strstr(refusal(&d, "jumper F4.2 BAT.-"),
               "a jumper from F4.2 to BAT.- would blow F4 in state on (opens at once:"));
    const char *direct = refusal(&d, "jumper BAT.+ BAT.-");
    assert_non_null(strstr(direct, "a jumper from BAT.+ to BAT.- would carry"));
    desk_clear(&d);
}

/* A fuse is renewed and blows again: that is a reading, not a refusal, since the vehicle did it
 * before. */
static void a_renewed_fuse_may_blow_again(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    const char *const renew[] = {"renew F4"};
    d.question.after = renew;
    d.question.n_after = 1;
    assert_true(desk_blown(&d, "on", "R:short", "F4"));
    desk_clear(&d);
}

static void what_makes_no_sense_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *action, *says;
    } row[] = {{"unplug C13", "there is no part C13; did you mean C12?"},
               {"explode R", "no action \"explode R\""},
               {"unplug", "no action \"unplug\": it is written \"unplug PART\""},
               {"unplgu C12", "did you mean \"unplug\"?"},
               {"", "no action \"\""},
               {"unplug C12 now please", "no action"},
               {"unplug BAT", "BAT is bolted on, not plugged in: use \"disconnect BAT\""},
               {"pull R", "R has no plug or socket to take apart"},
               {"renew R", "R does not blow: only fuses are renewed"},
               {"reseat R", "R has no plug or socket to take apart"},
               {"substitute C12", "C12 is wiring, which is not swapped"},
               {"bypass R", "R is no ground: use \"jumper\" between two places"},
               {"bulb-for R 21W", "R is no fuse that is pulled"},
               {"bulb-for F4 21V", "21V"},
               {"bulb-for F4 2kW", "expected 1 to 100 W"},
               {"load R 21W", "R has no plug to open"},
               {"load C12 5W 7W 9W", "it is written"},
               {"heat BAT", "a battery gives off gas that explodes"},
               {"wait soon", "soon"},
               {"wait -5min", "expected more than nothing"},
               {"wait 5", "5"},
               {"feed", "it is written \"feed PLACE\""},
               {"jumper F4.2 X9", "there is no pin or point X9"},
               {"jumper F4.2 F4.2", "F4.2 and F4.2 are joined already"}};
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const char *said = refusal(&d, row[i].action);
        if (!strstr(said, row[i].says))
            fail_msg("%s: %s", row[i].action, said);
    }
    desk_clear(&d);
}

/* A fault that is there only while its part is moved, warm, cold or wet. */
static void conditions_bring_a_fault_out(void **state) {
    (void)state;
    static const struct {
        const char *fault, *action, *other;
    } row[] = {{"R:open@tugged", "tug R", "heat R"},
               {"R:open@heated", "heat R", "cool R"},
               {"R:open@cooled", "cool R", "wet R"},
               {"R:open@wet", "wet R", "tug C12"}};
    desk d;
    desk_set(&d, PARTS, WIRES, NULL);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        d.question.after = &row[i].other;
        d.question.n_after = 1;
        desk_near(desk_volts(&d, "on", row[i].fault, "R.2", NULL), 0, 0.05, "R is whole");
        d.question.after = &row[i].action;
        desk_near(desk_volts(&d, "on", row[i].fault, "R.2", NULL), 0, 0.05, "no current");
        d.question.after = &row[i].other;
        const double whole = desk_volts(&d, "on", row[i].fault, "R.1", "C12.a1");
        d.question.after = &row[i].action;
        const double open = desk_volts(&d, "on", row[i].fault, "R.1", "C12.a1");
        assert_true(whole < -1e-3); /* an ampere drops some millivolts in the connector */
        desk_near(open, 0, 1e-4, "no current, no drop");
    }
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_connector_comes_apart),
        cmocka_unit_test(a_pulled_fuse_feeds_nothing),
        cmocka_unit_test(a_housing_is_unplugged_as_a_whole),
        cmocka_unit_test(a_battery_is_disconnected),
        cmocka_unit_test(a_jumper_joins_two_places),
        cmocka_unit_test(harm_is_refused_with_its_reason),
        cmocka_unit_test(a_renewed_fuse_may_blow_again),
        cmocka_unit_test(what_makes_no_sense_is_refused),
        cmocka_unit_test(conditions_bring_a_fault_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
