/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The program against solvers that know nothing of it. Every library circuit, in every state,
 * healthy and with every single fault: the node voltages that ngspice found must be those of the
 * tests' own solver (tests/proof/mna.h) within 1 mV. For one deck of each kind that is not linear
 * gnucap is asked as well. And a deck whose values were edited must give what the same deck gives
 * when it is loaded anew.
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
#include "sim/actions.h"
#include "sim/solve.h"
#include "tests/proof/gnucap.h"
#include "tests/proof/mna.h"
#include "tests/sweep.h"

static const double agreed = 1e-3; /* V */
/* V: a tenth of the finest digit of the display. With the battery's post open the whole circuit
 * hangs on leakage alone, and rounding shows. */
static const double same = 1e-4;

typedef struct tally {
    size_t cases, linear, linear_circuits, refused, unfound, by_itself;
    double worst;
} tally;

typedef struct visit {
    bp_circuit *circuit;
    bp_lab *lab;
    bp_report *report;
    tally *tally;
    const char *action; /* done first; NULL: none */
} visit;

/* Asks for one state with one fault, the meter on one point after the other from case to case, so
 * that every point has its turn; the caller clears what comes back. */
static bp_solved solve(const visit *v, const char *state, const char *fault, bp_way way) {
    size_t pair = v->circuit->n_points ? v->tally->cases % v->circuit->n_points : BP_NONE;
    bp_question question = BP_QUESTION_INIT;
    question.state = state;
    question.faults = fault;
    question.after = &v->action;
    question.n_after = v->action ? 1 : 0;
    bp_solved solved;
    if (bp_lab_solve(v->lab, &question, pair, way, &solved, v->report) != BP_OK) {
        size_t n = bp_report_count(v->report);
        fail_msg("%s, %s, %s: %s", v->circuit->id, state, fault,
                 n ? bp_report_at(v->report, n - 1)->text : "no solution");
    }
    return solved;
}

/* Marks the nodes that something below so many ohms ties to the reference. What only leaks to it
 * (an unwired switch terminal) has no voltage that a meter could read, and none that double
 * precision could tell. */
static bool *tied_nodes(const bp_deck *deck, const double *values, double below) {
    bool *tied = calloc(bp_deck_n_nodes(deck), sizeof *tied);
    assert_non_null(tied);
    tied[0] = true;
    for (bool grown = true; grown;) {
        grown = false;
        for (size_t k = 0; k < bp_deck_n_elements(deck); k++) {
            const bp_element *e = bp_deck_element(deck, k);
            bool joins = e->sort == BP_EL_VOLTAGE ||
                         (e->sort == BP_EL_RESISTOR && values[e->first_value] < below);
            if (joins && tied[e->plus] != tied[e->minus])
                tied[e->plus] = tied[e->minus] = grown = true;
        }
    }
    return tied;
}

static double largest_difference(const double *a, const double *b, const bp_solved *s) {
    bool *tied = tied_nodes(s->deck, s->values, 1e9);
    double most = 0;
    for (size_t i = 0; i < bp_deck_n_nodes(s->deck); i++)
        most = tied[i] ? fmax(most, fabs(a[i] - b[i])) : most;
    free(tied);
    return most;
}

/* The tests' solver starts from nothing; where it then finds no way (a motor between standing and
 * turning), it starts from the program's answer and judges whether that is a solution. */
static mna_result independent(const bp_solved *s, double *volts, bool *by_itself) {
    mna_result r = mna_solve(s->deck, s->values, BP_SHUNT_OHM, NULL, volts);
    *by_itself = r.solved;
    return r.solved ? r : mna_solve(s->deck, s->values, BP_SHUNT_OHM, s->volts, volts);
}

static void compare(const visit *v, const char *state, const char *fault) {
    bp_solved s = solve(v, state, fault, BP_WAY_EDITS);
    size_t n = bp_deck_n_nodes(s.deck);
    double *volts = calloc(n, sizeof *volts);
    bool by_itself;
    v->tally->cases++;
    v->tally->refused += s.refused;
    if (!s.refused && !s.chatter) { /* what chatters has several solutions, one after the other */
        mna_result r = independent(&s, volts, &by_itself);
        if (!r.solved)
            fail_msg("%s, %s, %s%s%s: the tests' solver %s", v->circuit->id, state, fault,
                     v->action ? " after " : "", v->action ? v->action : "", r.why);
        double off = largest_difference(volts, s.volts, &s);
        if (!(off <= agreed))
            fail_msg("%s, %s, %s%s%s: %.3g V between the two solvers", v->circuit->id, state, fault,
                     v->action ? " after " : "", v->action ? v->action : "", off);
        v->tally->worst = fmax(v->tally->worst, off);
        v->tally->linear += r.linear;
        v->tally->by_itself += by_itself;
    }
    free(volts);
    bp_solved_clear(&s);
}

static bool deck_is_linear(const visit *v) {
    bp_solved s = solve(v, v->circuit->states[0].id, "healthy", BP_WAY_EDITS);
    bool linear = true;
    for (size_t k = 0; k < bp_deck_n_elements(s.deck); k++) {
        bp_element_sort sort = bp_deck_element(s.deck, k)->sort;
        linear = linear && sort != BP_EL_LAW && sort != BP_EL_DIODE;
    }
    bp_solved_clear(&s);
    return linear;
}

/* A linear deck: every fault in every state. Others take many iterations each: every state
 * healthy, and every fault in one state after the other. */
static void every_fault(const visit *v, void (*check)(const visit *, const char *, const char *)) {
    bp_fault_row *rows;
    size_t n;
    bool linear = deck_is_linear(v);
    v->tally->linear_circuits += linear;
    assert_int_equal(bp_fault_list(v->circuit, &rows, &n), BP_OK);
    for (size_t q = 0; q < v->circuit->n_states; q++) {
        check(v, v->circuit->states[q].id, "healthy");
        for (size_t i = linear ? 0 : q; i < n;
             i += SWEEP_STEP * (linear ? 1 : v->circuit->n_states)) {
            char text[256];
            bp_fault_case one = {.fault = {rows[i].fault}, .n = 1};
            bp_fault_write(v->circuit, &one, text, sizeof text);
            check(v, v->circuit->states[q].id, text);
        }
    }
    free(rows);
}

static void over_the_library(tally *t, void (*each)(const visit *)) {
    bp_listing *list;
    size_t n;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n, report), BP_OK);
    assert_true(n >= 4);
    for (size_t i = 0; i < n; i += SWEEP_CIRCUITS) {
        visit v = {.report = report, .tally = t};
        assert_int_equal(bp_load_file(list[i].path, &v.circuit, report), BP_OK);
        v.lab = bp_lab_new(v.circuit, 1, report);
        assert_non_null(v.lab);
        each(&v);
        bp_lab_free(&v.lab);
        bp_circuit_free(&v.circuit);
    }
    bp_listing_free(&list, n);
    bp_report_free(&report);
}

static void compare_all(const visit *v) { every_fault(v, compare); }

static void test_own_solver_agrees(void **state) {
    (void)state;
    tally t = {0};
    over_the_library(&t, compare_all);
    print_message("%zu cases, %zu of them linear, %zu solved from nothing, %zu without a solution; "
                  "worst %.3g V\n",
                  t.cases, t.linear, t.by_itself, t.refused, t.worst);
    assert_true(t.cases > 1000 / (SWEEP_STEP * SWEEP_CIRCUITS));
    assert_true(t.linear_circuits >= 1 || SWEEP_CIRCUITS > 1);
    assert_true(t.by_itself > t.cases * 9 / 10);
    assert_true(t.refused <= t.cases / 100);
}

/* The same, where a meter gets at. Inside a motor stands its speed, as a voltage: near its own it
 * hardly moves the current, so that it is found to half a millivolt. What the meter's own 10
 * megohms alone tie to the circuit - a battery taken off, with a lead on one post - carries no
 * current that its law could settle by: there what counts is where the lead is. */
static double largest_reading_difference(const bp_solved *a, const bp_solved *b,
                                         const bp_circuit *circuit, size_t red) {
    bool *tied = tied_nodes(a->deck, a->values, 9e6);
    if (red != BP_NONE)
        tied[bp_deck_node_of_face(a->deck, circuit->points[red].face)] = true;
    double most = 0;
    for (size_t i = 0; i < circuit->n_faces; i++) {
        const size_t node = bp_deck_node_of_face(a->deck, i);
        most = tied[node] ? fmax(most, fabs(a->volts[node] - b->volts[node])) : most;
    }
    free(tied);
    return most;
}

static void both_ways(const visit *v, const char *state, const char *fault) {
    const size_t n_points = v->circuit->n_points;
    const size_t red = n_points ? v->tally->cases % n_points : BP_NONE; /* as solve has it */
    bp_solved edited = solve(v, state, fault, BP_WAY_EDITS);
    bp_solved fresh = solve(v, state, fault, BP_WAY_FRESH);
    const bool found = !edited.refused && !fresh.refused;
    v->tally->unfound += !found; /* no number is not a wrong number, but it has to be rare */
    if (found && edited.chatter != fresh.chatter)
        fail_msg("%s, %s, %s%s%s: chatters one way only", v->circuit->id, state, fault,
                 v->action ? " after " : "", v->action ? v->action : "");
    bool comparable = found && !edited.chatter;
    double off = comparable ? largest_reading_difference(&edited, &fresh, v->circuit, red) : 0;
    if (!(off <= same))
        fail_msg("%s, %s, %s%s%s: edited and fresh decks differ by %.3g V", v->circuit->id, state,
                 fault, v->action ? " after " : "", v->action ? v->action : "", off);
    bp_solved_clear(&edited);
    bp_solved_clear(&fresh);
    v->tally->cases++;
}

static void both_ways_all(const visit *v) { every_fault(v, both_ways); }

static void test_edited_and_fresh_decks_agree(void **state) {
    (void)state;
    tally t = {0};
    over_the_library(&t, both_ways_all);
    assert_true(t.cases > 1000 / (SWEEP_STEP * SWEEP_CIRCUITS));
    assert_true(t.unfound <= t.cases / 100);
}

/* Can this be done at all? A lamp on a plug of four pins needs to be told where. */
static bool is_possible(const visit *v, const char *action) {
    bp_task task;
    char why[400];
    assert_true(bp_task_init(&task, v->circuit));
    const bp_status status = bp_action_add(&task, v->circuit, action, why, sizeof why);
    bp_task_clear(&task);
    return status == BP_OK;
}

/* What would do harm gets no reading at all. */
static bool is_refused(const visit *v, const char *state) {
    bp_question question = BP_QUESTION_INIT;
    question.state = state;
    question.after = &v->action;
    question.n_after = 1;
    bp_report *refusal = bp_report_new();
    bp_answer *answer = bp_lab_ask(v->lab, &question, refusal);
    const bool refused = !answer;
    bp_answer_free(&answer);
    bp_report_free(&refusal);
    return refused;
}

/* In one state after the other, edited beside fresh and by the tests' own solver, where the program
 * answers. (12 V on the output of a 5 V supply leaves that output to leakage, and
 * two solvers may stop there at different places: nobody is shown a number then.) */
static void one_action(const visit *v, const char *action) {
    visit with = *v;
    with.action = action;
    if (!is_possible(v, action))
        return;
    const bp_state *next = &v->circuit->states[v->tally->cases % v->circuit->n_states];
    const char *state = next->id;
    if (strncmp(action, "wait", 4) == 0 && !isnan(next->lasts))
        return; /* over before the wait is */
    if (is_refused(&with, state))
        return;
    both_ways(&with, state, "healthy");
    compare(&with, state, "healthy");
}

/* Every action on every part and every point that can have it. */
static void every_action(const visit *v) {
    static const char *const of_part[] = {"unplug", "reseat",   "disconnect", "bypass",
                                          "load",   "bulb-for", "renew",      "substitute",
                                          "heat",   "cool",     "wet",        "tug"};
    static const char *const of_place[] = {"feed", "earth", "jumper BAT.+", "load BAT.-"};
    char action[200];
    for (size_t i = 0; i < v->circuit->n_parts; i += SWEEP_STEP)
        for (size_t k = 0; k < sizeof of_part / sizeof *of_part; k++) {
            /* Wires have no plug, and there are many: one action does for them. */
            if (v->circuit->parts[i].kind == &bp_kind_wire && strcmp(of_part[k], "heat") != 0)
                continue;
            snprintf(action, sizeof action, "%s %s", of_part[k], v->circuit->parts[i].id);
            one_action(v, action);
        }
    for (size_t i = 0; i < v->circuit->n_points; i += SWEEP_STEP)
        for (size_t k = 0; k < sizeof of_place / sizeof *of_place; k++) {
            snprintf(action, sizeof action, "%s %s", of_place[k], v->circuit->points[i].id);
            one_action(v, action);
        }
    one_action(v, "wait 20min");
}

static void test_actions_agree(void **state) {
    (void)state;
    tally t = {0};
    over_the_library(&t, every_action);
    assert_true(t.unfound <= t.cases / 100);
    print_message("%zu cases after an action; worst %.3g V between two solvers\n", t.cases,
                  t.worst);
    assert_true(t.cases > 1000 / (SWEEP_STEP * SWEEP_CIRCUITS));
}

/* Small circuits, one for each kind whose deck is not linear, in a working state. */
typedef struct specimen {
    const char *kind, *parts, *wires;
} specimen;

#define FEED "B: {kind: source, emf: 13.5 V, resistance: 20 mohm}"
#define LOOP(a, b) "W1: {from: B.+, to: " a "}, W2: {from: " b ", to: B.-}"

static const specimen specimens[] = {
    {"lamp", FEED ", H1: {kind: lamp, power: 21 W}", LOOP("H1.1", "H1.2")},
    {"motor", FEED ", M1: {kind: motor, current: 6 A, load: pump}", LOOP("M1.1", "M1.2")},
    {"motor (fan)", FEED ", M1: {kind: motor, current: 14 A, load: fan}", LOOP("M1.1", "M1.2")},
    {"wiper motor",
     FEED ", M1: {kind: wiper-motor, current: 4 A}, R1: {kind: resistor, resistance: 100 ohm}",
     LOOP("M1.53", "M1.31") ", W3: {from: B.+, to: M1.53a}, W4: {from: M1.53e, to: R1.1}, W5: "
                            "{from: R1.2, to: B.-}"},
    {"diode", FEED ", V1: {kind: diode}, R1: {kind: resistor, resistance: 100 ohm}",
     "W1: {from: B.+, to: V1.A}, W2: {from: V1.K, to: R1.1}, W3: {from: R1.2, to: B.-}"},
    {"relay with a diode",
     FEED ", K1: {kind: relay, suppression: {diode: cathode-86}}, R1: {kind: resistor, resistance: "
          "10 ohm}",
     "W1: {from: B.+, to: K1.86}, W2: {from: K1.85, to: B.-}, W3: {from: B.+, to: K1.30}, W4: "
     "{from: K1.87, to: R1.1}, "
     "W5: {from: R1.2, to: B.-}"},
};

static void ask_gnucap(const specimen *x) {
    char text[1024];
    int n = snprintf(text, sizeof text,
                     "backprobe: 1\nid: specimen\ntitle: Specimen\nparts: {%s}\nwires: {%s}\n",
                     x->parts, x->wires);
    tally t = {0};
    visit v = {.report = bp_report_new(), .tally = &t};
    if (bp_load_text(text, (size_t)n, x->kind, &v.circuit, v.report) != BP_OK)
        fail_msg("%s: %s", x->kind, bp_report_at(v.report, 0)->text);
    v.lab = bp_lab_new(v.circuit, 1, v.report);
    assert_non_null(v.lab);
    bp_solved s = solve(&v, v.circuit->states[0].id, "healthy", BP_WAY_EDITS);
    assert_false(s.refused);
    size_t nodes = bp_deck_n_nodes(s.deck);
    double *volts = calloc(nodes, sizeof *volts), *own = calloc(nodes, sizeof *own);
    const char *why = gnucap_solve(s.deck, s.values, BP_SHUNT_OHM, volts);
    if (why)
        fail_msg("%s: %s", x->kind, why);
    mna_result r = mna_solve(s.deck, s.values, BP_SHUNT_OHM, NULL, own);
    assert_true(r.solved);
    assert_false(r.linear); /* else this specimen proves nothing about what is not linear */
    double off = largest_difference(volts, s.volts, &s),
           off_own = largest_difference(own, s.volts, &s);
    if (!(off <= agreed) || !(off_own <= agreed))
        fail_msg("%s: gnucap differs by %.3g V, the tests' solver by %.3g V", x->kind, off,
                 off_own);
    free(volts);
    free(own);
    bp_solved_clear(&s);
    bp_lab_free(&v.lab);
    bp_circuit_free(&v.circuit);
    bp_report_free(&v.report);
}

static void test_gnucap_agrees(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof specimens / sizeof *specimens; i++)
        ask_gnucap(&specimens[i]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_gnucap_agrees),
        cmocka_unit_test(test_edited_and_fresh_decks_agree),
        cmocka_unit_test(test_actions_agree),
        cmocka_unit_test(test_own_solver_agrees),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
