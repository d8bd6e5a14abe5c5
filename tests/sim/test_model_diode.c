/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A 1 A silicon rectifier with a load, both ways round. Data-sheet typical, from memory: 0.95 V at
 * 1 A and 0.68 V at 10 mA.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#define PARTS(ohm)                                                                                 \
    "B: {kind: source, emf: 12 V}, D: {kind: diode}, R1: {kind: resistor, resistance: " ohm "}"
#define FORWARD "W1: {from: B.+, to: D.A}, W2: {from: D.K, to: R1.1}, W3: {from: R1.2, to: B.-}"
#define BACKWARD "W1: {from: B.+, to: D.K}, W2: {from: D.A, to: R1.1}, W3: {from: R1.2, to: B.-}"

/* (12 - 0.95) V / 11.05 ohm = 1 A; (12 - 0.68) V / 1132 ohm = 10 mA. */
static void it_drops_what_the_data_sheet_says(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("11.05 ohm"), FORWARD, NULL);
    desk_near(desk_volts(&d, NULL, NULL, "D.A", "D.K"), 0.95, 0.02, "at 1 A");
    desk_clear(&d);
    desk_set(&d, PARTS("1132 ohm"), FORWARD, NULL);
    desk_near(desk_volts(&d, NULL, NULL, "D.A", "D.K"), 0.68, 0.02, "at 10 mA");
    desk_clear(&d);
}

static void each_fault_has_its_reading(void **state) {
    (void)state;
    desk d;
    desk_set(&d, PARTS("100 ohm"), FORWARD, NULL);
    desk_near(desk_volts(&d, NULL, "D:open", "R1.1", NULL), 0, 1e-3, "open");
    desk_near(desk_volts(&d, NULL, "D:reversed", "R1.1", NULL), 0, 1e-3, "reversed");
    /* 0.1 ohm and two pins beside a junction that now gets 12 mV. */
    desk_near(desk_volts(&d, NULL, "D:short=0.1ohm", "R1.1", NULL), 1200 / 100.104, 2e-3, "short");
    desk_clear(&d);
    desk_set(&d, PARTS("100 ohm"), BACKWARD, NULL);
    desk_near(desk_volts(&d, NULL, NULL, "R1.1", NULL), 0, 1e-3, "blocks");
    desk_near(desk_volts(&d, NULL, "D:leaky=1kohm", "R1.1", NULL), 12 * 100.0 / 1100, 2e-3, "leak");
    desk_near(desk_volts(&d, NULL, "D:short=0.1ohm", "R1.1", NULL), 1200 / 100.104, 2e-3, "short");
    /* The wrong way round it conducts: about 0.8 V at 0.11 A. */
    desk_near(desk_volts(&d, NULL, "D:reversed", "R1.1", NULL), 11.2, 0.05, "reversed");
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_drops_what_the_data_sheet_says),
        cmocka_unit_test(each_fault_has_its_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
