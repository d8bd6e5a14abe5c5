/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A solenoid of 12 ohm on 12 V through a resistor RS, which S1 bridges while pressed: it has
 * 12 * 12 / (12 + RS) V, pulls at 7.5 V and lets go at 2 V.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS(ohm)                                                                                 \
    "B: {kind: source, emf: 12 V}, RS: {kind: resistor, resistance: " ohm " ohm}, "                \
    "Y: {kind: solenoid, resistance: 12 ohm}, "                                                    \
    "S1: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}"
#define WIRES                                                                                      \
    "W1: {from: B.+, to: RS.1}, W2: {from: RS.2, to: Y.1}, W3: {from: Y.2, to: B.-}, "             \
    "W4: {from: B.+, to: S1.1}, W5: {from: S1.2, to: Y.1}"
#define STATES                                                                                     \
    "first: {}, pressed: {S1: pressed, from: first}, again: {S1: released, from: pressed}"

/* 7.58 V at 7 ohm, 7.38 V at 7.5 ohm; 2.06 V at 58 ohm, 1.95 V at 62 ohm. */
static void it_moves_at_its_voltages(void **state) {
    (void)state;
    static const struct {
        const char *parts, *first, *again;
    } row[] = {{PARTS("7"), "pulled", "pulled"},
               {PARTS("7.5"), "out", "pulled"},
               {PARTS("58"), "out", "pulled"},
               {PARTS("62"), "out", "out"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        desk d;
        desk_set(&d, row[i].parts, WIRES, STATES);
        assert_string_equal(desk_says(&d, "first", NULL, "Y", NULL), row[i].first);
        assert_string_equal(desk_says(&d, "again", NULL, "Y", NULL), row[i].again);
        desk_clear(&d);
    }
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("1"), WIRES, STATES);
    desk_near(desk_volts(&d, "first", NULL, "Y.1", NULL), 12 * 12.004 / 13.004, 1e-3, "divider");
    assert_string_equal(desk_says(&d, "first", "Y:open", "Y", NULL), "out");
    desk_near(desk_volts(&d, "first", "Y:open", "Y.1", NULL), 12, 1e-3, "no current");
    desk_near(desk_volts(&d, "first", "Y:shorted-turns=50%", "Y.1", NULL), 12 * 6.004 / 7.004, 1e-3,
              "half the turns");
    assert_string_equal(desk_says(&d, "first", "Y:shorted-turns=50%", "Y", NULL), "pulled");
    /* 12 / 33 = 0.364 A of the 0.625 A it needs. */
    assert_string_equal(desk_says(&d, "first", "Y:resistance=20ohm", "Y", NULL), "out");
    desk_near(desk_volts(&d, "first", "Y:resistance=20ohm", "Y.1", NULL), 12 * 32.004 / 33.004,
              1e-3, "in series");
    /* Half of it to ground through 0.1 ohm: 1 + 6 + 0.1 // 6. */
    desk_near(desk_volts(&d, "first", "Y:ground-leak=0.1ohm", "Y.1", NULL), 12 * 6.1004 / 7.1004,
              1e-3, "leak at the middle");
    assert_string_equal(desk_says(&d, "first", "Y:stuck-out", "Y", NULL), "out");
    assert_string_equal(desk_says(&d, "first", "Y:stuck-pulled+RS:open", "Y", NULL), "pulled");
    assert_string_equal(desk_says(&d, "first", "Y:stiff=11V", "Y", NULL), "pulled");
    assert_string_equal(desk_says(&d, "first", "Y:stiff=11.5V", "Y", NULL), "out");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_moves_at_its_voltages),
        cmocka_unit_test(each_fault_has_its_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
