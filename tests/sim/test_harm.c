/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Actions that would do harm are refused, with the harm in figures: what would flow by Ohm's law,
 * which fuse would go, how many volts a 5 V pin would get. What does none is not refused.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include <backprobe/load.h>

#include "tests/sim/asked.h"

/* 12 V behind 0.1 ohm. */
#define SOURCE "B: {kind: source, emf: 12 V, resistance: 0.1 ohm}"

typedef struct trial {
    const char *action; /* several are parted by a bar */
    const char *faults;
    const char *says[3]; /* that the refusal has in it; the first NULL: it is not refused */
} trial;

static bp_question question(const trial *t, const char *actions[2], char *copy, size_t size) {
    static const bp_pair pair = {"B.+", "B.-"};
    bp_question q = reading_of("on", BP_VOLTS, &pair);
    strncpy(copy, t->action, size - 1);
    char *bar = strchr(copy, '|');
    if (bar)
        *bar = '\0';
    actions[0] = copy;
    actions[1] = bar ? bar + 1 : NULL;
    q.after = actions;
    q.n_after = bar ? 2 : 1;
    q.faults = t->faults;
    return q;
}

static void try_all(desk *d, const trial *row, size_t n) {
    for (size_t i = 0; i < n; i++) {
        const char *actions[2];
        char copy[200] = "";
        const bp_question q = question(&row[i], actions, copy, sizeof copy);
        if (!row[i].says[0]) {
            bp_answer *a = asked(d, &q);
            bp_answer_free(&a);
            continue;
        }
        const char *why = refused(d, &q);
        for (size_t k = 0; k < 3 && row[i].says[k]; k++)
            if (!strstr(why, row[i].says[k]))
                fail_msg("%s: \"%s\" does not say \"%s\"", row[i].action, why, row[i].says[k]);
    }
}
#define TRY(d, rows) try_all(d, rows, sizeof rows / sizeof *rows)

/* F4, 10 A: 7.7 mohm between blades of 2 mohm. A load of 12 ohm, one of 0.19 ohm that stands alone.
 */
static void a_short_is_refused_with_its_current(void **state) {
    (void)state;
    static const trial rows[] = {
        /* 12 V over 0.1 + 0.02 ohm */
        {"jumper B.+ B.-",
         NULL,
         {"a jumper from B.+ to B.- would carry 100 A in state on",
          "more than the 30 A fuse in such a lead: refused"}},
        /* over 0.1 + 0.0117 + 0.02 ohm: 91.1 A, 9.1 times 10 A */
        {"earth F4.2",
         NULL,
         {"a fused lead from F4.2 to B.- would blow F4 in state on",
          "opens at once: 91.1 A, 9.1 times its 10 A"}},
        /* over 0.1 + 0.02 + 0.19 ohm, less what R1 takes: 38.4 A */
        {"feed R2.1",
         NULL,
         {"a fused lead from B.+ to R2.1 would carry 38 A",
          "more than the 30 A fuse in such a lead"}},
        /* through F4 as well: R1 beside it: 0.3181 ohm, 37.7 A */
        {"jumper F4.2 R2.1", NULL, {"would blow F4 in state on", "37.7 A, 3.8 times its 10 A"}},
        /* no lead may do what a lamp may: 1.75 A at most */
        {"jumper F4.1 F4.2|earth R1.1", NULL, {"would blow F4", "its 10 A"}},
        {"load F4.2 B.- 21W", NULL, {NULL}},
        {"feed R1.1", NULL, {NULL}},
        {"earth R1.2", NULL, {NULL}},
        {"bulb-for F4 21W", "R1:short", {NULL}},
        {"renew F4", "R1:short", {NULL}}, /* it blows again: that is a reading */
    };
    desk d;
    desk_set(&d,
             SOURCE ", F4: {kind: fuse, rating: 10 A}, R1: {kind: resistor, resistance: 12 ohm}, "
                    "R2: {kind: resistor, resistance: 0.19 ohm}, S: {kind: switch, "
                    "positions: {released: [], pressed: [[1, 2]]}}",
             "W1: {from: B.+, to: F4.1}, W2: {from: F4.2, to: R1.1}, W3: {from: R1.2, to: B.-}, "
             "W4: {from: R2.2, to: B.-}, W5: {from: B.+, to: S.1}, W6: {from: S.2, to: R2.1}",
             NULL);
    TRY(&d, rows);
    desk_clear(&d);
}

/* A regulator of 5 V, a potentiometer on it, an input that measures, one that pulls up to 5 V, and
 * one that a switch takes to the feed. */
static void twelve_volts_stay_off_five_volt_pins(void **state) {
    (void)state;
    static const trial rows[] = {
        {"feed A1.out",
         NULL,
         {"with a fused lead from B.+ to A1.out in state on, A1 would have 1",
          " V on its 5 V output: refused"}},
        {"jumper B.+ P.1", NULL, {"A1 would have 1", " V on its 5 V output"}},
        {"feed P.2", NULL, {"A2 would have 12.0 V on its 4.75 V input"}},
        {"feed A3.in", NULL, {"A3 would have 12.0 V on its 5 V input"}},
        {"feed A4.in", NULL, {NULL}},
        {"earth A3.in", NULL, {NULL}},
        {"earth A1.out", NULL, {NULL}}, /* a regulator limits its own current */
        /* 12 V were on it before: not the action's doing */
        {"feed A4.in", "A1:shorted", {NULL}},
    };
    desk d;
    desk_set(&d,
             SOURCE
             ", A1: {kind: regulator}, A2: {kind: module-input, pull: none, reads: voltage}, "
             "A3: {kind: module-input}, A4: {kind: module-input, pull: down}, "
             "P: {kind: potentiometer}, S: {kind: switch, positions: {released: [], pressed: [[1, "
             "2]]}}, "
             "T: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}",
             "W1: {from: B.+, to: A1.15}, W2: {from: A1.31, to: B.-}, W3: {from: A1.out, to: P.1}, "
             "W4: {from: P.3, to: B.-}, W5: {from: P.2, to: A2.in}, W6: {from: A2.31, to: B.-}, "
             "W7: {from: A3.31, to: B.-}, W8: {from: A4.31, to: B.-}, "
             "W12: {from: A3.in, to: S.1}, W13: {from: S.2, to: B.-}, "
             "W14: {from: A4.in, to: T.1}, W15: {from: T.2, to: B.+}, W9: {from: A3.15, to: B.+}, "
             "W10: {from: A2.15, to: B.+}, W11: {from: A4.15, to: B.+}",
             NULL);
    TRY(&d, rows);
    desk_clear(&d);
}

/* A relay's coil of 85 ohm on an output of 0.6 ohm that stands 3 A. It is off now, but a module
 * switches it on when it likes. */
static void no_driver_is_given_the_battery(void **state) {
    (void)state;
    static const trial rows[] = {
        /* 12 V over 0.1 + 0.02 + 0.002 + 0.6 + 0.002 ohm: 16.6 A */
        {"feed K.85",
         NULL,
         {"A1 would carry 17 A, and its output stands 3 A",
          "in state on, as soon as its output is switched on, A1"}},
        {"jumper K.86 K.85", NULL, {"A1 would carry 17 A"}},
        {"feed K.86", NULL, {NULL}},
        {"earth K.85", NULL, {NULL}},
        /* the new one would be put on the fault that killed the old one: 12 / 0.704 A */
        {"substitute A1",
         "A1:output-open+K:diode-shorted=0.1ohm",
         {"the substitution", "A1 would carry 15 A"}},
        {"substitute A1", "A1:output-open", {NULL}},
    };
    desk d;
    desk_set(&d,
             SOURCE
             ", K: {kind: relay, suppression: {diode: cathode-86}}, A1: {kind: low-side-driver}, "
             "R: {kind: resistor, resistance: 100 ohm}",
             "W1: {from: B.+, to: K.86}, W2: {from: K.85, to: A1.out}, W3: {from: A1.31, to: B.-}, "
             "W4: {from: A1.15, to: B.+}, W5: {from: B.+, to: K.30}, W6: {from: K.87, to: R.1}, "
             "W7: {from: R.2, to: B.-}",
             "on: {}, asked: {A1: on}");
    TRY(&d, rows);
    desk_clear(&d);
}

/* An ignition driver that limits its current to 7.5 A lives on what the coil leaves it. With the
 * battery straight on it: 12 V less 7.6 A x 0.124 ohm are 11.1 V, and 84 W. */
static void no_ignition_driver_is_given_the_battery(void **state) {
    (void)state;
    static const trial rows[] = {
        {"feed T.1", NULL, {"as soon as its output is switched on, A1 would turn 84 W into heat"}},
        {"feed T.15", NULL, {NULL}},
    };
    desk d;
    desk_set(&d,
             SOURCE ", T: {kind: ignition-coil, primary: 3 ohm}, "
                    "A1: {kind: ignition-driver, limit: 7.5 A}",
             "W1: {from: B.+, to: T.15}, W2: {from: T.1, to: A1.out}, W3: {from: A1.31, to: B.-}, "
             "W4: {from: A1.15, to: B.+}",
             "on: {}");
    TRY(&d, rows);
    desk_clear(&d);
}

/* An output whose own feed is gone takes 12 V put on it backwards, into 6 ohm behind its fuse: 11.7
 * V and 0.8 V of the diode less leave 1.8 A, and the module itself takes 0.1 A. */
static void no_output_is_fed_backwards(void **state) {
    (void)state;
    static const trial rows[] = {
        {"pull F1|feed A1.out", NULL, {"A1 would carry 1.9 A, and its output stands 1 A"}},
        {"feed A1.out", NULL, {NULL}}, /* its own feed is there: nothing flows back */
    };
    desk d;
    desk_set(&d,
             SOURCE
             ", F1: {kind: fuse, rating: 20 A}, A1: {kind: high-side-driver}, "
             "H: {kind: resistor, resistance: 24 ohm}, R: {kind: resistor, resistance: 6 ohm}",
             "W1: {from: B.+, to: F1.1}, W2: {from: F1.2, to: A1.30}, W3: {from: A1.out, to: H.1}, "
             "W4: {from: H.2, to: B.-}, W5: {from: A1.31, to: B.-}, W6: {from: F1.2, to: R.1}, "
             "W7: {from: R.2, to: B.-}",
             NULL);
    TRY(&d, rows);
    desk_clear(&d);
}

/* An igniter of 2 ohm behind an open arming switch: 12 V over 2.12 ohm, 5.7 A. */
static void nothing_is_connected_to_an_airbag_circuit(void **state) {
    (void)state;
    static const char text[] =
        "backprobe: 1\nid: desk\ntitle: On the desk\ncautions: [airbag]\nparts: {" SOURCE
        ", S: {kind: switch, positions: {safe: [], armed: [[1, 2]]}}, "
        "R: {kind: resistor, resistance: 2 ohm}}\n"
        "wires: {W1: {from: B.+, to: S.1}, W2: {from: S.2, to: R.1}, W3: {from: R.2, to: B.-}}\n";
    static const trial rows[] = {
        {"feed R.1",
         NULL,
         {"a fused lead from B.+ to R.1 would carry 5.7 A in state on",
          "more than 0.4 A can set one off: refused"}},
        {"load R.1 R.2 1W", NULL, {"a lamp of 1 W from R.1 to R.2 would carry 0.0 A"}},
        {"unplug S", NULL, {NULL}},
    };
    desk d = {.question = BP_QUESTION_INIT, .report = bp_report_new()};
    assert_int_equal(bp_load_text(text, sizeof text - 1, "desk", &d.circuit, d.report), BP_OK);
    d.lab = bp_lab_new(d.circuit, 1, d.report);
    assert_non_null(d.lab);
    TRY(&d, rows);
    const bp_pair across = {"R.1", "R.2"};
    const bp_question ohms = reading_of("on", BP_OHMS, &across);
    assert_non_null(strstr(refused(&d, &ohms), "ohms: its current could set an airbag off"));
    const bp_question loaded = reading_of("on", BP_VOLTS_LOADED, &across);
    assert_non_null(strstr(refused(&d, &loaded), "volts-loaded: its current could set"));
    const bp_question volts = reading_of("on", BP_VOLTS, &across);
    bp_answer *a = asked(&d, &volts);
    bp_answer_free(&a);
    desk_clear(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_short_is_refused_with_its_current),
        cmocka_unit_test(twelve_volts_stay_off_five_volt_pins),
        cmocka_unit_test(no_driver_is_given_the_battery),
        cmocka_unit_test(no_ignition_driver_is_given_the_battery),
        cmocka_unit_test(no_output_is_fed_backwards),
        cmocka_unit_test(nothing_is_connected_to_an_airbag_circuit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
