/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The ways in which the trade says that circuits fail, each of which must be there to be named: in
 * a circuit that has a part for each.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "circuits/fault.h"
#include "tests/circuits/files.h"

static const char text[] = "backprobe: 1\nid: all\ntitle: All\nparts:\n"
                           "  BAT: {kind: battery}\n  F4: {kind: fuse, rating: 15 A}\n"
                           "  K2: {kind: relay, suppression: {diode: cathode-86}}\n"
                           "  S1: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}\n"
                           "  H1: {kind: lamp, power: 21 W}\n  M1: {kind: motor, current: 6 A}\n"
                           "  C12: {kind: connector, cavities: 2}\n  A1: {kind: low-side-driver}\n"
                           "  G0: {kind: ground}\n  G3: {kind: ground}\n"
                           "wires:\n  W1: {from: BAT.+, to: F4.1}\n  W2: {from: F4.2, to: K2.30}\n"
                           "  W3: {from: F4.2, to: K2.86}\n  W4: {from: K2.85, to: A1.out}\n"
                           "  W5: {from: A1.31, to: G3}\n  W6: {from: K2.87, to: C12.a1}\n"
                           "  W7: {from: C12.b1, to: H1.1}\n  W8: {from: H1.2, to: G3}\n"
                           "  W9: {from: BAT.-, to: G0}\n  W10: {from: F4.2, to: S1.1}\n"
                           "  W11: {from: S1.2, to: C12.a2}\n  W12: {from: C12.b2, to: M1.1}\n"
                           "  W13: {from: M1.2, to: G3}\n  W14: {from: F4.2, to: A1.15}\n";

/* As a mechanic says it, and as it is written. */
static const char *const said[][2] = {
    {"broken wire", "W7:open"},
    {"chafed, green wire", "W7:resistance"},
    {"chafed through to the body", "W7:short-to-ground"},
    {"melted onto a live one", "W7:short-to-feed"},
    {"melted onto its neighbour", "W6:short-to=W11"},
    {"terminal backed out", "C12.1:open"},
    {"corroded terminal", "C12.1:resistance"},
    {"spread terminal", "C12.1:spread"},
    {"pins bent together", "C12.1:bridge-to=C12.2"},
    {"water between pins", "C12.1:leak-to=C12.2"},
    {"pins put in crossed", "C12.1:crossed-with=C12.2"},
    {"ground off", "G3:open"},
    {"rusty ground", "G3:resistance"},
    {"blown fuse", "F4:blown"},
    {"hairline in a fuse", "F4:hairline"},
    {"wrong fuse", "F4:wrong-rating"},
    {"fuse loose in its socket", "F4.1:spread"},
    {"flat battery", "BAT:charge"},
    {"12.6 V that collapse", "BAT:weak-cell"},
    {"dead cell", "BAT:shorted-cell"},
    {"dirty clamp", "BAT.+:resistance"},
    {"open coil", "K2:coil-open"},
    {"burnt contact", "K2:contact-resistance"},
    {"welded contact", "K2:contact-welded"},
    {"shorted suppression diode", "K2:diode-shorted"},
    {"diode the wrong way round", "K2:diode-reversed"},
    {"24 V relay", "K2:wrong-voltage"},
    {"relay of the other pattern", "K2:wrong-pattern"},
    {"wrong bulb", "H1:wrong-bulb"},
    {"burnt-out bulb", "H1:open"},
    {"seized motor", "M1:seized"},
    {"binding motor", "M1:binding"},
    {"worn brushes", "M1:worn-brushes"},
    {"the module does not ask", "A1:no-request"},
    {"module without a feed", "A1.15:open"},
    {"module without a ground", "A1.31:open"},
    {"dead driver", "A1:output-open"},
    {"shorted driver", "A1:output-shorted"},
    {"dirty switch", "S1:resistance"},
    {"switch stuck on", "S1:stuck-second"},
};

/* When a fault may come and go. */
static const char *const conditions[] = {"@tugged", "@heated",        "@cooled",
                                         "@wet",    "@engine>80degC", "@engine<5degC"};

static bool is_listed(const bp_circuit *c, const bp_fault_row *rows, size_t n, const char *wanted) {
    for (size_t i = 0; i < n; i++) {
        bp_fault_case one = {.fault = {rows[i].fault}, .n = 1};
        char fault[200];
        one.fault[0].severity = NAN;
        bp_fault_write(c, &one, fault, sizeof fault);
        if (strcmp(fault, wanted) == 0)
            return true;
    }
    return false;
}

static void every_trouble_of_the_trade_can_be_named(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *c = NULL;
    if (bp_load_text(text, sizeof text - 1, "all", &c, report) != BP_OK)
        fail_msg("%s", files_messages(report));
    bp_fault_row *rows = NULL;
    size_t n = 0;
    assert_int_equal(bp_fault_list(c, &rows, &n), BP_OK);
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        if (!is_listed(c, rows, n, said[i][1]))
            fail_msg("%s (%s) is not in the list", said[i][1], said[i][0]);
        for (size_t k = 0; k < sizeof conditions / sizeof *conditions; k++) {
            char fault[200], why[400];
            bp_fault_case one;
            snprintf(fault, sizeof fault, "%s%s", said[i][1], conditions[k]);
            if (bp_fault_parse(c, fault, &one, why, sizeof why) != BP_OK)
                fail_msg("%s: %s", fault, why);
        }
    }
    free(rows);
    bp_circuit_free(&c);
    bp_report_free(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_trouble_of_the_trade_can_be_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
