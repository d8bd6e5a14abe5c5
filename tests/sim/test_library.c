/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shipped circuits as a technician would find them: good ones read like good ones, and every
 * fault in the list changes something, or is one of the few that are known to hide from a meter.
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
#include <backprobe/predict.h>

#include "circuits/fault.h"

typedef struct shop {
    bp_report *report;
    bp_circuit *circuit;
    bp_lab *lab;
} shop;

static void open_shop(shop *s, const char *id) {
    *s = (shop){.report = bp_report_new()};
    assert_int_equal(bp_load(id, &s->circuit, s->report), BP_OK);
    s->lab = bp_lab_new(s->circuit, 0, s->report);
    assert_non_null(s->lab);
}

static void close_shop(shop *s) {
    bp_lab_free(&s->lab);
    bp_circuit_free(&s->circuit);
    bp_report_free(&s->report);
}

static bp_answer *ask(shop *s, const char *state, const char *faults, const bp_pair *pair) {
    bp_question q = BP_QUESTION_INIT;
    q.state = state;
    q.faults = faults;
    q.pairs = pair;
    q.n_pairs = pair ? 1 : 0;
    bp_answer *answer = bp_lab_ask(s->lab, &q, s->report);
    for (size_t i = 0; !answer && i < bp_report_count(s->report); i++)
        print_error("%s\n", bp_report_at(s->report, i)->text);
    assert_non_null(answer);
    return answer;
}

static double volts(shop *s, const char *state, const char *faults, const char *red,
                    const char *black) {
    const bp_pair pair = {red, black};
    bp_answer *answer = ask(s, state, faults, &pair);
    assert_int_equal(answer->states[0].readings[0].status, BP_READING_OK);
    double value = answer->states[0].readings[0].value;
    bp_answer_free(&answer);
    return value;
}

static const char *says(shop *s, const char *state, const char *faults, const char *part,
                        char *text, size_t size) {
    bp_answer *answer = ask(s, state, faults, NULL);
    const bp_state_answer *at = &answer->states[0];
    *text = '\0';
    for (size_t i = 0; i < at->n_notices; i++)
        if (strcmp(at->notices[i].part, part) == 0)
            snprintf(text, size, "%s", at->notices[i].says);
    bp_answer_free(&answer);
    return text;
}

/* With the circuit's normal current flowing: 0.1 V a connection, 0.2 V a wire or ground, 0.3 V a
 * switch, 0.5 V in all on a feed: common practice. Long heavy feeds may exceed it by design. */
static void good_circuits_keep_to_common_practice(void **state) {
    (void)state;
    static const struct {
        const char *circuit, *state, *red, *black;
        double most;
    } row[] = {
        {"fuel-pump", "running", "BAT.+", "M1.1", 0.5},
        {"fuel-pump", "running", "M1.2", "BAT.-", 0.2},
        {"fuel-pump", "running", "K1.30", "K1.87", 0.1},
        {"fuel-pump", "running", "S2.1", "S2.2", 0.3},
        {"fuel-pump", "running", "A1.31", "BAT.-", 0.1},
        {"wiper", "wiping-slow", "BAT.+", "M1.53", 0.5},
        {"wiper", "wiping-slow", "M1.31", "BAT.-", 0.2},
        {"wiper", "wiping-fast", "M1.31", "BAT.-", 0.2},
        {"wiper", "wiping-fast", "S2.15", "S2.53b", 0.3},
        {"cooling-fans", "high", "BAT.+", "M1.1", 0.5},
        {"cooling-fans", "high", "BAT.+", "M2.1", 0.5},
        {"cooling-fans", "high", "M2.2", "BAT.-", 0.2},
        {"ignition-coil", "dwell", "BAT.+", "T1.15", 0.5},
        {"ignition-coil", "dwell", "A1.31", "BAT.-", 0.2},
        {"ignition-coil", "cranking", "BAT.+", "T1.15", 0.5},
        {"charging", "fast", "ALT.B+", "BAT/+", 0.2},
        {"charging", "fast", "BAT/-", "ALT/31", 0.2},
        {"injector-peak-hold", "held", "A1.31", "BAT.-", 0.1},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        shop s;
        open_shop(&s, row[i].circuit);
        double drop = volts(&s, row[i].state, NULL, row[i].red, row[i].black);
        if (!(drop > 0 && drop <= row[i].most))
            fail_msg("%s, %s: %s to %s drops %.3f V of at most %.1f V", row[i].circuit,
                     row[i].state, row[i].red, row[i].black, drop, row[i].most);
        close_shop(&s);
    }
}

static void good_loads_do_their_work(void **state) {
    (void)state;
    static const struct {
        const char *circuit, *state, *part, *says;
    } row[] = {
        {"fuel-pump", "off", "M1", "off"},          {"fuel-pump", "prime", "M1", "normal"},
        {"fuel-pump", "waiting", "M1", "off"},      {"fuel-pump", "waiting", "K1", "out"},
        {"fuel-pump", "cranking", "K1", "in"},      {"fuel-pump", "running", "M1", "normal"},
        {"wiper", "parked", "M1", "parked"},        {"wiper", "wiping-slow", "M1", "normal"},
        {"wiper", "wiping-fast", "M1", "normal"},   {"wiper", "returning", "M1", "normal"},
        {"cooling-fans", "off", "M1", "off"},       {"cooling-fans", "low", "M1", "weak"},
        {"cooling-fans", "low", "M2", "weak"},      {"cooling-fans", "high", "M1", "normal"},
        {"cooling-fans", "high", "M2", "normal"},   {"ignition-coil", "key-on", "T1", "off"},
        {"ignition-coil", "dwell", "T1", "normal"},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        shop s;
        char text[32];
        open_shop(&s, row[i].circuit);
        if (strcmp(says(&s, row[i].state, NULL, row[i].part, text, sizeof text), row[i].says) != 0)
            fail_msg("%s, %s: %s says %s, expected %s", row[i].circuit, row[i].state, row[i].part,
                     text, row[i].says);
        close_shop(&s);
    }
}

/* What volts in these states cannot show at any severity, and why. Everything else must show. */
static const struct {
    const char *circuit, *fault, *why; /* circuit NULL: any */
} hidden[] = {
    {NULL, ":spread", "good while cold and still"},
    {NULL, ":secondary-open", "no current flows there until the spark"},
    {NULL, ":secondary-shorted-turns", "no current flows there until the spark"},
    {NULL, ":secondary-breaks-down", "only under high voltage"},
    {"wiper", "M1:cam-slipped", "where the arms stop shows over time only"},
    {NULL, ":brake-open", "the arms overrun; at rest 53e is on ground through the motor"},
    {NULL, ":brake-resistance", "the arms overrun"},
    {"fuel-pump", "S2:stuck-closed", "shows in a crash"},
    {"cooling-fans", "BAT:weak-cell", "no state loads the battery alone"},
    {"cooling-fans", "S1:dead-in-crank-15", "the fans' circuit has no state that cranks"},
    {"charging", "S1:dead-in-crank-15", "this circuit has no state that cranks"},
    {"injector-peak-hold", "S1:dead-in-crank-15", "this circuit has no state that cranks"},
    {"charging", "W2:short-to-feed", "it is the battery's own cable"},
    {"injector-peak-hold", "W7:short-to-ground", "a ground wire"},
    {"fuel-pump", "C3.1:leak-to=C3.2", "the closed inertia switch lies across it"},
    {NULL, "W1:short-to-feed", "it is the battery's own cable"},
    {NULL, "W2:short-to-ground", "a ground cable"},
    {NULL, "W3:short-to-ground", "a ground cable"},
    {NULL, "W4:short-to-ground", "the ground strap"},
};
enum { N_HIDDEN = sizeof hidden / sizeof *hidden };

static size_t hidden_by(const char *circuit, const char *fault) {
    for (size_t i = 0; i < N_HIDDEN; i++)
        if ((!hidden[i].circuit || strcmp(hidden[i].circuit, circuit) == 0) &&
            strstr(fault, hidden[i].fault))
            return i;
    return N_HIDDEN;
}

static bool same_readings(const bp_state_answer *a, const bp_state_answer *b) {
    if (a->n_readings != b->n_readings)
        return false;
    for (size_t i = 0; i < a->n_readings; i++)
        if (a->readings[i].status != b->readings[i].status ||
            strcmp(a->readings[i].display, b->readings[i].display) != 0)
            return false;
    return true;
}

static bool same_notices(const bp_state_answer *a, const bp_state_answer *b) {
    if (a->n_notices != b->n_notices || a->n_blown != b->n_blown || a->n_chatter != b->n_chatter)
        return false;
    for (size_t i = 0; i < a->n_notices; i++)
        if (strcmp(a->notices[i].part, b->notices[i].part) != 0 ||
            strcmp(a->notices[i].says, b->notices[i].says) != 0 ||
            strcmp(a->notices[i].words, b->notices[i].words) != 0)
            return false;
    return true;
}

static bool shows(const bp_answer *healthy, const bp_answer *faulty) {
    if (healthy->n_states != faulty->n_states)
        return true;
    for (size_t i = 0; i < healthy->n_states; i++)
        if (!same_readings(&healthy->states[i], &faulty->states[i]) ||
            !same_notices(&healthy->states[i], &faulty->states[i]))
            return true;
    return false;
}

/* A fault at one severity after the other; NAN for a mode that has none. */
static bool changes_something(shop *s, const bp_answer *healthy, bp_fault fault) {
    const bp_mode_decl *mode = bp_fault_mode(s->circuit, &fault);
    const double severity[] = {fault.severity, mode->lo, mode->hi};
    bool shown = false;
    for (size_t i = 0; i < (mode->scale == BP_SCALE_NONE ? 1 : 3) && !shown; i++) {
        char text[128];
        fault.severity = severity[i];
        const bp_fault_case one = {.fault = {fault}, .n = 1};
        bp_fault_write(s->circuit, &one, text, sizeof text);
        bp_answer *answer = ask(s, NULL, text, NULL);
        for (size_t k = 0; k < answer->n_states; k++)
            if (answer->states[k].why)
                fail_msg("%s, %s, %s: %s", s->circuit->id, text, answer->states[k].state,
                         answer->states[k].why);
        shown = shows(healthy, answer);
        bp_answer_free(&answer);
    }
    return shown;
}

/* Every fault of the list in every state at every point. `met` counts the hidden ones. */
static size_t count_silent_faults(const char *id, size_t met[N_HIDDEN]) {
    shop s;
    open_shop(&s, id);
    bp_fault_row *rows;
    size_t n, silent = 0;
    assert_int_equal(bp_fault_list(s.circuit, &rows, &n), BP_OK);
    bp_answer *healthy = ask(&s, NULL, NULL, NULL);
    for (size_t i = 0; i < n; i++) {
        char text[128];
        if (changes_something(&s, healthy, rows[i].fault))
            continue;
        const bp_fault_case one = {.fault = {rows[i].fault}, .n = 1};
        bp_fault_write(s.circuit, &one, text, sizeof text);
        size_t reason = hidden_by(id, text);
        if (reason < N_HIDDEN) {
            met[reason]++;
            continue;
        }
        print_error("%s: %s changes nothing\n", id, text);
        silent++;
    }
    bp_answer_free(&healthy);
    free(rows);
    close_shop(&s);
    return silent;
}

static void every_fault_shows_or_is_known_to_hide(void **state) {
    (void)state;
    static const char *const shipped[] = {"cooling-fans", "fuel-pump", "ignition-coil",
                                          "wiper",        "charging",  "injector-peak-hold"};
    size_t silent = 0, met[N_HIDDEN] = {0};
    for (size_t i = 0; i < sizeof shipped / sizeof *shipped; i++)
        silent += count_silent_faults(shipped[i], met);
    assert_int_equal(silent, 0);
    for (size_t i = 0; i < N_HIDDEN; i++)
        if (met[i] == 0)
            fail_msg("%s shows everywhere: it is not hidden (%s)", hidden[i].fault, hidden[i].why);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(good_circuits_keep_to_common_practice),
        cmocka_unit_test(good_loads_do_their_work),
        cmocka_unit_test(every_fault_shows_or_is_known_to_hide),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
