/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shipped circuits as a technician would find them: good ones read like good ones.
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

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(good_circuits_keep_to_common_practice),
        cmocka_unit_test(good_loads_do_their_work),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
