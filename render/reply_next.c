/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tests of a reply sheet, out of what is worth measuring next and the plan behind it.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "render/reply_source.h"

static bool same_text(const char *a, const char *b) { return a && b ? strcmp(a, b) == 0 : a == b; }

static bool same_test(const bp_next_test *a, const bp_next_test *b) {
    bool same = same_text(a->state, b->state) && same_text(a->observe, b->observe) &&
                a->instrument == b->instrument && same_text(a->red, b->red) &&
                same_text(a->black, b->black) && same_text(a->at, b->at) &&
                a->n_after == b->n_after;
    for (size_t i = 0; same && i < a->n_after; i++)
        same = same_text(a->after[i], b->after[i]);
    return same;
}

static size_t place_of(const bp_reply_source *s, const bp_next_test *test) {
    for (size_t i = 0; i < s->n_tests; i++)
        if (same_test(s->tests[i], test))
            return i;
    return s->n_tests;
}

/* The test that follows one outcome of the first, and when. */
static bool add_follower(bp_reply_source *s, const bp_next_test *test, const char *display) {
    const size_t place = place_of(s, test);
    if (place == 0 || place == BP_REPLY_TESTS)
        return true;
    char *before = place < s->n_tests ? s->when[place] : NULL, *now = NULL;
    const int n = before ? asprintf(&now, "%s, or %s", before, display)
                         : asprintf(&now, "1 shows %s", display);
    if (n < 0)
        return false;
    free(before);
    s->tests[place] = test;
    s->when[place] = now;
    s->outcomes[place]++;
    s->n_tests = place < s->n_tests ? s->n_tests : place + 1;
    return true;
}

/* The likeliest outcome of the plan's first test that was not taken yet; BP_NONE. */
static size_t likeliest(const bp_plan_node *root, double below, size_t after) {
    size_t best = BP_NONE;
    for (size_t i = 0; i < root->test->n_outcomes; i++) {
        const bp_plan_node *then = root->then[i];
        if (!then || !then->test || then->probability > below ||
            (then->probability == below && i <= after))
            continue;
        if (best == BP_NONE || then->probability > root->then[best]->probability)
            best = i;
    }
    return best;
}

bp_status bp_reply_choose_tests(bp_reply_source *s) {
    const bp_test_plan *plan = bp_next_plan(s->next);
    const bp_plan_node *root = plan ? plan->root : NULL;
    s->n_tests = 0;
    if (root && root->test)
        s->tests[s->n_tests++] = root->test;
    else if (bp_next_n_tests(s->next) > 0)
        s->tests[s->n_tests++] = bp_next_test_at(s->next, 0);
    if (!root || !root->test)
        return BP_OK;
    double below = INFINITY;
    for (size_t i = likeliest(root, below, 0); i != BP_NONE; i = likeliest(root, below, i)) {
        if (!add_follower(s, root->then[i]->test, root->test->outcomes[i].display))
            return BP_ERR_MEMORY;
        below = root->then[i]->probability;
    }
    return BP_OK;
}

static bool add_step(bp_reply_test *test, const char *what, const char *how) {
    if (test->n_steps == BP_REPLY_STEPS)
        return true;
    bp_reply_step *step = &test->steps[test->n_steps++];
    *step = (bp_reply_step){bp_copy(what), bp_copy(how)};
    return step->what && step->how;
}

/* What the plan has in store behind an outcome: the end of the search, in words. */
static const char *end_of(const bp_reply_source *s, size_t index, size_t outcome) {
    const bp_test_plan *plan = bp_next_plan(s->next);
    const bp_plan_node *root = plan ? plan->root : NULL;
    if (index > 0 || !root || root->test != s->tests[0])
        return NULL;
    const bp_plan_node *then = root->then[outcome];
    return then && !then->test ? then->says : NULL;
}

/* One suspect left: the repair itself says more than that it is left. */
static bool add_outcome(bp_reply_test *test, const bp_next_outcome *outcome, const char *end) {
    bp_reply_outcome *to = &test->outcomes[test->n_outcomes++];
    *to = (bp_reply_outcome){bp_copy(outcome->display),
                             bp_copy(end && outcome->n_suspects == 1 ? end : outcome->means)};
    return to->shows && to->means;
}

/* The likeliest outcomes, in the order of the test's own. */
static bool add_outcomes(bp_reply_test *to, const bp_reply_source *s, size_t index) {
    const bp_next_test *test = s->tests[index];
    bool good = true;
    for (size_t i = 0; i < test->n_outcomes && good; i++) {
        size_t likelier = 0;
        for (size_t k = 0; k < test->n_outcomes; k++)
            likelier += test->outcomes[k].probability > test->outcomes[i].probability ||
                        (test->outcomes[k].probability == test->outcomes[i].probability && k < i);
        if (likelier < BP_REPLY_OUTCOMES)
            good = add_outcome(to, &test->outcomes[i], end_of(s, index, i));
    }
    return good;
}

static bool say_test(bp_reply_test *to, const bp_reply_source *s, size_t index) {
    const bp_next_test *test = s->tests[index];
    char *time = NULL;
    if (asprintf(&time, "about %.0f min", fmax(1, ceil(test->minutes))) < 0)
        time = NULL;
    to->title = bp_copy(test->title);
    to->time = time;
    to->unit = bp_copy(test->observe ? "" : bp_unit_symbol(test->unit));
    bool good = to->title && to->time && to->unit;
    const bool always = s->outcomes[index] == s->tests[0]->n_outcomes;
    if (good && s->when[index])
        good = always ? add_step(to, "Then", "whatever 1 shows")
                      : add_step(to, "Only if", s->when[index]);
    else if (good && test->first)
        good = add_step(to, "Why first", test->first);
    for (size_t i = 0; i < test->n_steps && good; i++)
        good = add_step(to, test->steps[i].what, test->steps[i].how);
    return good && add_outcomes(to, s, index);
}

bp_status bp_reply_say_tests(bp_reply *r, const bp_reply_source *s) {
    for (size_t i = 0; i < s->n_tests; i++) {
        r->n_tests = i + 1;
        if (!say_test(&r->tests[i], s, i))
            return BP_ERR_MEMORY;
    }
    return BP_OK;
}
