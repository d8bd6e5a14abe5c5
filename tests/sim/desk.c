/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/desk.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "sim/build.h"
#include "sim/case.h"

static void __attribute__((noreturn)) fail_with_report(const desk *d, const char *what) {
    for (size_t i = 0; i < bp_report_count(d->report); i++)
        print_error("  %s\n", bp_report_at(d->report, i)->text);
    fail_msg("%s", what);
    abort(); /* fail_msg has jumped out of the test */
}

void desk_set(desk *d, const char *parts, const char *wires, const char *states) {
    char text[8192];
    int n = snprintf(text, sizeof text,
                     "backprobe: 1\nid: desk\ntitle: On the desk\nparts: {%s}\nwires: {%s}\n%s%s%s",
                     parts, wires, states ? "states: {" : "", states ? states : "",
                     states ? "}\n" : "");
    assert_in_range(n, 1, sizeof text - 1);
    *d = (desk){.question = BP_QUESTION_INIT, .report = bp_report_new()};
    if (bp_load_text(text, (size_t)n, "desk", &d->circuit, d->report) != BP_OK)
        fail_with_report(d, "the circuit does not load");
    d->lab = bp_lab_new(d->circuit, 1, d->report);
    if (!d->lab)
        fail_with_report(d, "no lab");
}

void desk_clear(desk *d) {
    bp_lab_free(&d->lab);
    bp_circuit_free(&d->circuit);
    bp_report_free(&d->report);
}

/* The last phase of a state: what is left when everything has settled. */
static const bp_state_answer *ask(desk *d, const char *state, const char *faults,
                                  bp_answer **answer) {
    bp_question question = d->question;
    question.state = state ? state : d->circuit->states[0].id;
    question.faults = faults;
    *answer = bp_lab_ask(d->lab, &question, d->report);
    if (!*answer || (*answer)->n_states == 0)
        fail_with_report(d, faults ? faults : "healthy: no answer");
    const bp_state_answer *last = &(*answer)->states[(*answer)->n_states - 1];
    if (last->why)
        fail_msg("%s: %s", faults ? faults : "healthy", last->why);
    return last;
}

double desk_volts(desk *d, const char *state, const char *faults, const char *red,
                  const char *black) {
    bp_pair pair = {red, black};
    bp_answer *answer;
    d->question.pairs = &pair;
    d->question.n_pairs = 1;
    const bp_state_answer *settled = ask(d, state, faults, &answer);
    assert_int_equal(settled->n_readings, 1);
    const bp_reading reading = settled->readings[0];
    if (reading.status != BP_READING_OK)
        fail_msg("%s: no reading at %s: %s", faults ? faults : "healthy", red,
                 reading.why ? reading.why : "out of range");
    bp_answer_free(&answer);
    return reading.value;
}

/* The kind's own copy of an id, which outlives the answer. */
static const char *lasting(const bp_part *part, const char *says) {
    const char *const *ids = bp_models[bp_kind_index(part->kind)]->says;
    for (size_t i = 0; ids && ids[i]; i++)
        if (strcmp(ids[i], says) == 0)
            return ids[i];
    fail_msg("%s says \"%s\", which its kind does not declare", part->id, says);
    return NULL;
}

const char *desk_says(desk *d, const char *state, const char *faults, const char *part,
                      double *value) {
    size_t index = bp_part_find(d->circuit, part);
    assert_int_not_equal(index, BP_NONE);
    bp_answer *answer;
    const char *says = "";
    d->question.pairs = NULL;
    d->question.n_pairs = 0;
    const bp_state_answer *settled = ask(d, state, faults, &answer);
    for (size_t i = 0; i < settled->n_notices; i++) {
        if (strcmp(settled->notices[i].part, part) != 0)
            continue;
        says = lasting(&d->circuit->parts[index], settled->notices[i].says);
        if (value)
            *value = settled->notices[i].value;
    }
    bp_answer_free(&answer);
    return says;
}

bool desk_blown(desk *d, const char *state, const char *faults, const char *part) {
    bp_answer *answer;
    bool blown = false;
    d->question.pairs = NULL;
    d->question.n_pairs = 0;
    const bp_state_answer *settled = ask(d, state, faults, &answer);
    for (size_t i = 0; i < settled->n_blown; i++)
        blown |= strcmp(settled->blown[i], part) == 0;
    bp_answer_free(&answer);
    return blown;
}

bp_move desk_next_at(desk *d, const char *part, double amps, double ambient) {
    bp_deck *deck = bp_deck_new(d->circuit, &(bp_plan){0});
    bp_case *c = bp_case_new(d->circuit, deck);
    assert_non_null(deck);
    assert_non_null(c);
    bp_case_enter(c, BP_NONE, &(bp_conditions){ambient, NAN, NAN, 0});
    double *values = calloc(bp_deck_n_values(deck), sizeof *values);
    double *volts = calloc(bp_deck_n_nodes(deck), sizeof *volts);
    assert_non_null(values);
    assert_non_null(volts);
    bp_case_values(c, values);
    const size_t index = bp_part_find(d->circuit, part);
    const bp_part *it = &d->circuit->parts[index];
    const double ohm = values[bp_deck_first_value(deck, index)];
    volts[bp_deck_node_of_face(deck, it->pins[0].own)] = amps * ohm;
    const bp_view view = bp_case_view(c, index, values, volts);
    const bp_move move = bp_models[bp_kind_index(it->kind)]->next(&view);
    free(values);
    free(volts);
    bp_case_free(&c);
    bp_deck_free(&deck);
    return move;
}

void desk_swing(desk *d, const char *faults, const char *red, const char *black, double *low,
                double *high) {
    bp_pair pair = {red, black};
    bp_answer *answer;
    d->question.pairs = &pair;
    d->question.n_pairs = 1;
    const bp_state_answer *settled = ask(d, NULL, faults, &answer);
    assert_int_equal(settled->n_readings, 1);
    const bp_reading reading = settled->readings[0];
    if (reading.status != BP_READING_UNSTEADY)
        fail_msg("%s: the reading at %s stands still", faults ? faults : "healthy", red);
    *low = reading.low;
    *high = reading.high;
    bp_answer_free(&answer);
}

void desk_near(double got, double want, double within, const char *what) {
    if (!(fabs(got - want) <= within))
        fail_msg("%s: %.6g, expected %.6g +- %.2g", what, got, want, within);
}
