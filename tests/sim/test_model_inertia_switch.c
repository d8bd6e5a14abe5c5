/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inertia switch in the feed of 12 ohm from 12 V ideal, contact 10 mohm.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

static void test_faults(void **state) {
    (void)state;
    static const struct {
        const char *fault;
        double set, tripped; /* V at the load */
        const char *says;    /* while it should be set */
    } table[] = {{NULL, 11.98, 0, "set"},
                 {"S:tripped", 0, 0, "tripped"},
                 {"S:open", 0, 0, "set"},
                 {"S:resistance=1ohm", 11.068, 0, "set"}, /* 12 * 12 / 13.01 */
                 {"S:stuck-closed", 11.98, 11.98, "set"}};
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V}, S: {kind: inertia-switch}, "
             "R: {kind: resistor, resistance: 12 ohm}",
             "W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: B.-}",
             "set: {S: set}, tripped: {S: tripped}");
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        const char *what = table[i].fault ? table[i].fault : "healthy";
        desk_near(desk_volts(&d, "set", table[i].fault, "R.1", NULL), table[i].set, 0.02, what);
        desk_near(desk_volts(&d, "tripped", table[i].fault, "R.1", NULL), table[i].tripped, 0.02,
                  what);
        assert_string_equal(desk_says(&d, "set", table[i].fault, "S", NULL), table[i].says);
    }
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_faults)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
