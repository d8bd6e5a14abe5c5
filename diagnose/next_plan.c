/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Testing weighed against replacing: a tree of tests that ends where putting something right by now
 * costs less than going on. All costs are averages over the faults of the list; a good circuit, or
 * something that is not in the list, ends in no fix either way.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/next_parts.h"

/* Chains of tests are followed so far, branches while they are at least so probable. */
enum { DEEPEST = 9 };
#define RARE 0.03
/* Of what is left only what is at least this much as probable as the likeliest is named. */
#define NAMED 0.05

/* ---- what putting right costs ---- */

/* One thing to put right: a part, or one terminal. It cures all faults that sit there. */
typedef struct unit {
    const bp_fault *fault;
    size_t index; /* of a fault of it, in the atlas */
    double mass, minutes, money;
} unit;

static bool same_place(const bp_circuit *c, const bp_fault *x, const bp_fault *y) {
    const bool part = bp_fault_mode(c, x)->scope == BP_SCOPE_PART;
    return x->part == y->part && part == (bp_fault_mode(c, y)->scope == BP_SCOPE_PART) &&
           (part || x->sub == y->sub);
}

static size_t find_units(const bp_next *n, const double *weight, unit *list) {
    const bp_forecast *f = n->forecast;
    size_t count = 0;
    for (size_t i = 0; i < f->n_cases; i++) {
        if (f->fault[i] == BP_NONE || !(weight[i] > 0))
            continue;
        const bp_fault *fault = &bp_atlas_fault(n->d->atlas, f->fault[i])->fault;
        size_t k = 0;
        while (k < count && !same_place(n->d->circuit, list[k].fault, fault))
            k++;
        if (k == count)
            list[count++] = (unit){fault, f->fault[i], 0, bp_fix_minutes(n->d->circuit, fault),
                                   bp_fix_money(n->d->circuit, fault)};
        list[k].mass += weight[i];
    }
    return count;
}

/* Minutes and money as one number, to compare by. */
static double worth(const bp_next *n, double minutes, double money) {
    return isnan(n->options.rate) ? minutes : money + minutes * n->options.rate / 60;
}

typedef enum order { BY_WORTH, BY_LIKELIHOOD, BY_COST } order;

static double key_of(const bp_next *n, const unit *u, order by) {
    return by == BY_LIKELIHOOD ? u->mass
           : by == BY_COST     ? -worth(n, u->minutes, isnan(n->options.rate) ? 0 : u->money)
                               : u->mass / worth(n, u->minutes, u->money);
}

static void put_in_order(const bp_next *n, unit *list, size_t count, order by) {
    for (size_t i = 1; i < count; i++) {
        const unit own = list[i];
        size_t k = i;
        for (; k > 0 && key_of(n, &list[k - 1], by) < key_of(n, &own, by); k--)
            list[k] = list[k - 1];
        list[k] = own;
    }
}

/* One after the other until the complaint is gone. Returns how many units, in `list`. */
static size_t replace(const bp_next *n, const double *weight, order by, unit *list,
                      bp_plan_cost *cost) {
    const size_t count = find_units(n, weight, list);
    double minutes = 0, money = 0, sum = 0;
    *cost = (bp_plan_cost){0, 0, NAN};
    put_in_order(n, list, count, by);
    for (size_t i = 0; i < count; i++) {
        minutes += list[i].minutes;
        money += list[i].money;
        sum += list[i].mass;
        cost->minutes += list[i].mass * minutes;
        cost->money += list[i].mass * money;
    }
    if (sum > 0) {
        cost->minutes /= sum;
        cost->money /= sum;
    }
    return count;
}

/* ---- the tree ---- */

typedef struct planner {
    bp_next *n;
    unit *list;
    size_t made[DEEPEST + 1];
} planner;

static double fault_mass(const bp_forecast *f, const double *weight) {
    double sum = 0;
    for (size_t i = 0; i < f->n_cases; i++)
        sum += f->fault[i] == BP_NONE ? 0 : weight[i];
    return sum;
}

/* Leaves those in the list, in their order, that are worth naming. */
static size_t keep_named(unit *list, size_t count) {
    double most = 0;
    size_t n = 0;
    for (size_t i = 0; i < count; i++)
        most = fmax(most, list[i].mass);
    for (size_t i = 0; i < count; i++)
        if (list[i].mass >= NAMED * most)
            list[n++] = list[i];
    return n;
}

static const char *fix_words(bp_next *n, unit *list, size_t all, double mass) {
    const size_t count = keep_named(list, all);
    if (count == 0 || mass < 0.5)
        return "this circuit is good: look elsewhere";
    if (count == 1)
        return bp_store_print(&n->store, "put right: %s", bp_next_fault_words(n, list[0].index));
    const char *text = "look at, and put right";
    for (size_t i = 0; i < count && i < 5; i++) {
        const char *id = bp_next_fault_id(n, list[i].index);
        text = bp_store_print(&n->store, "%s%s %.*s", text, i == 0 ? ":" : ", then",
                              (int)strcspn(id, ":"), id);
    }
    return count > 5 ? bp_store_print(&n->store, "%s, then %zu more", text, count - 5) : text;
}

static void make_leaf(planner *p, const double *weight, bp_plan_node *node) {
    bp_plan_cost cost;
    const size_t count = replace(p->n, weight, BY_WORTH, p->list, &cost);
    node->says = fix_words(p->n, p->list, count, fault_mass(p->n->forecast, weight));
    node->minutes = cost.minutes;
    node->money = cost.money;
}

static const bp_plan_node *plan_from(planner *p, const double *weight, size_t depth,
                                     double probability);

/* The same node with a test first. False: it cannot be had. */
static bool make_branches(planner *p, const double *weight, size_t depth, size_t test,
                          bp_plan_node *node) {
    bp_next *n = p->n;
    bp_next_test *t = bp_store_get(&n->store, 1, sizeof *t);
    if (!t)
        return false;
    bp_next_name_test(n, test, t);
    t->minutes = bp_next_minutes(n, p->made, depth, test);
    t->bits = bp_puzzle_gain(&n->forecast->puzzle, &n->forecast->outcomes[test], weight);
    bp_next_branches b = bp_next_make_outcomes(n, test, weight, t);
    const bp_plan_node **then = bp_store_get(&n->store, b.n, sizeof *then);
    const double all = fault_mass(n->forecast, weight);
    double sum = 0;
    p->made[depth] = test;
    for (size_t o = 0; o < b.n && then; o++) {
        const double *after = &b.weight[o * n->forecast->n_cases];
        const double share = t->outcomes[o].probability;
        then[o] = plan_from(p, after, depth + 1, node->probability * share);
        p->made[depth] = test;
        const double part =
            all > 0 ? share * fault_mass(n->forecast, after) / all : 0; /* of the faults */
        if (!then[o])
            continue;
        sum += part;
        node->minutes += part * then[o]->minutes;
        node->money += part * then[o]->money;
    }
    if (sum > 0) { /* what is too rare to be shown is taken as the rest */
        node->minutes /= sum;
        node->money /= sum;
    }
    node->minutes += t->minutes;
    node->test = t;
    node->then = then;
    free(b.weight);
    return then != NULL && b.n > 0;
}

static size_t test_for(const planner *p, const double *weight, size_t depth, double probability) {
    const bp_next *n = p->n;
    if (depth == 0 && n->supply != BP_NONE)
        return n->supply;
    if (depth >= DEEPEST || probability < RARE)
        return BP_PUZZLE_NONE;
    return depth == 0 ? bp_puzzle_best(&n->forecast->puzzle, weight, p->made, 0, NULL)
                      : bp_puzzle_greedy(&n->forecast->puzzle, weight, p->made, depth, NULL);
}

static const bp_plan_node *plan_from(planner *p, const double *weight, size_t depth,
                                     double probability) {
    bp_next *n = p->n;
    bp_plan_node *node = bp_store_get(&n->store, 1, sizeof *node);
    bp_plan_node with = {.probability = probability};
    const char *const *leaves;
    size_t n_leaves;
    if (!node)
        return NULL;
    *node = with;
    make_leaf(p, weight, node);
    bp_next_left(n, weight, &leaves, &n_leaves, &node->n_suspects);
    with.n_suspects = node->n_suspects;
    const size_t test = test_for(p, weight, depth, probability);
    if (test != BP_PUZZLE_NONE && make_branches(p, weight, depth, test, &with) &&
        (worth(n, with.minutes, with.money) < worth(n, node->minutes, node->money) ||
         (depth == 0 && n->supply != BP_NONE)))
        *node = with;
    return node;
}

static void total(const bp_next *n, bp_plan_cost *cost) {
    cost->total = isnan(n->options.rate) ? NAN : worth(n, cost->minutes, cost->money);
}

bool bp_next_make_plan(bp_next *n) {
    planner p = {.n = n, .list = calloc(n->forecast->n_cases + 1, sizeof *p.list)};
    bp_test_plan *plan = bp_store_get(&n->store, 1, sizeof *plan);
    const double *weight = n->forecast->weight;
    const bp_plan_node *root = p.list && plan ? plan_from(&p, weight, 0, 1) : NULL;
    if (root) {
        plan->root = root;
        plan->cost = (bp_plan_cost){root->minutes, root->money, NAN};
        replace(n, weight, BY_LIKELIHOOD, p.list, &plan->likely);
        replace(n, weight, BY_COST, p.list, &plan->cheap);
        total(n, &plan->cost);
        total(n, &plan->likely);
        total(n, &plan->cheap);
        plan->unsolved = 1 - fault_mass(n->forecast, weight);
        n->plan = plan;
    }
    free(p.list);
    return root != NULL;
}
