/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "circuits/circuit.h"
#include "cli/json.h"
#include "cli/next.h"

static json_t *outcome_json(const bp_next_outcome *o) {
    json_t *object = bp_json_object();
    bp_json_set(object, "display", bp_json_text(o->display));
    bp_json_set(object, "low", bp_json_number(o->low));
    bp_json_set(object, "high", bp_json_number(o->high));
    bp_json_set(object, "probability", bp_json_number(o->probability));
    bp_json_set(object, "leaves", bp_json_texts(o->leaves, o->n_leaves));
    bp_json_set(object, "suspects", json_integer((json_int_t)o->n_suspects));
    return object;
}

static json_t *step_json(const bp_next_step *step) {
    json_t *object = bp_json_object();
    bp_json_set(object, "what", bp_json_text(step->what));
    bp_json_set(object, "how", bp_json_text(step->how));
    return object;
}

/* What a case file says of the test, without what is known only afterwards. */
static json_t *test_json(const bp_next_test *t) {
    json_t *object = bp_json_object(), *outcomes = bp_json_array(), *steps = bp_json_array();
    bp_json_set(object, "title", bp_json_text(t->title));
    bp_json_set(object, "after", bp_json_texts(t->after, t->n_after));
    bp_json_set(object, "state", bp_json_text(t->state));
    bp_json_set(object, "observe", bp_json_text(t->observe));
    bp_json_set(object, "red", bp_json_text(t->red));
    bp_json_set(object, "black", bp_json_text(t->black));
    bp_json_set(object, "at", bp_json_text(t->at));
    bp_json_set(object, "instrument",
                bp_json_text(t->observe ? NULL : bp_instrument_name(t->instrument)));
    bp_json_set(object, "unit", bp_json_unit(t->unit));
    bp_json_set(object, "bits", bp_json_number(t->bits));
    bp_json_set(object, "minutes", bp_json_number(t->minutes));
    bp_json_set(object, "first", bp_json_text(t->first));
    for (size_t i = 0; i < t->n_outcomes; i++)
        bp_json_append(outcomes, outcome_json(&t->outcomes[i]));
    for (size_t i = 0; i < t->n_steps; i++)
        bp_json_append(steps, step_json(&t->steps[i]));
    bp_json_set(object, "outcomes", outcomes);
    bp_json_set(object, "steps", steps);
    return object;
}

static json_t *node_json(const bp_plan_node *node) {
    json_t *object = bp_json_object(), *then = bp_json_array();
    bp_json_set(object, "probability", bp_json_number(node->probability));
    bp_json_set(object, "suspects", json_integer((json_int_t)node->n_suspects));
    bp_json_set(object, "minutes", bp_json_number(node->minutes));
    bp_json_set(object, "money", bp_json_number(node->money));
    bp_json_set(object, "test", node->test ? test_json(node->test) : json_null());
    for (size_t i = 0; node->test && i < node->test->n_outcomes; i++)
        bp_json_append(then, node->then[i] ? node_json(node->then[i]) : json_null());
    bp_json_set(object, "then", then);
    bp_json_set(object, "says", bp_json_text(node->test ? NULL : node->says));
    return object;
}

static json_t *cost_json(const bp_plan_cost *cost) {
    json_t *object = bp_json_object();
    bp_json_set(object, "minutes", bp_json_number(cost->minutes));
    bp_json_set(object, "money", bp_json_number(cost->money));
    bp_json_set(object, "total", bp_json_number(cost->total));
    return object;
}

static json_t *plan_json(const bp_test_plan *plan) {
    json_t *object = bp_json_object();
    bp_json_set(object, "cost", cost_json(&plan->cost));
    bp_json_set(object, "likely", cost_json(&plan->likely));
    bp_json_set(object, "cheap", cost_json(&plan->cheap));
    bp_json_set(object, "unsolved", bp_json_number(plan->unsolved));
    bp_json_set(object, "root", node_json(plan->root));
    return object;
}

void bp_next_json(const bp_screen *out, const bp_casefile *file, const bp_next *n) {
    json_t *object = bp_json_object(), *tests = bp_json_array();
    for (size_t i = 0; i < bp_next_n_tests(n); i++)
        bp_json_append(tests, test_json(bp_next_test_at(n, i)));
    bp_json_set(object, "circuit", bp_json_text(bp_circuit_id(bp_casefile_circuit(file))));
    bp_json_set(object, "suspects", json_integer((json_int_t)bp_next_n_suspects(n)));
    bp_json_set(object, "tests", tests);
    bp_json_set(object, "end", bp_json_text(bp_next_end(n)));
    if (bp_next_plan(n))
        bp_json_set(object, "plan", plan_json(bp_next_plan(n)));
    bp_json_print(out, object);
}
