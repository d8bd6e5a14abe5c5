/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/candidates.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/kinds/fuse.h"
#include "diagnose/diagnosis.h"
#include "sim/model.h"

/* What takes a solution of its own is only asked for when no more cases than this are left: sooner
 * a plain reading tells as much, and costs nothing to work out. */
enum { FEW_ROWS = 150 };
/* A reading that was this likely a slip is worth taking again. */
#define DOUBTFUL 0.2

typedef struct listing {
    bp_atlas *atlas;
    const bp_circuit *circuit;
    const bp_posterior *posterior; /* NULL: whatever was made */
    unsigned tools;
    const size_t *rows;
    size_t n_rows;
    size_t *test, n, room;
    bp_report *report;
    bp_status status;
} listing;

static unsigned tool_of(const bp_test *t) {
    if (t->part != BP_NONE)
        return 0;
    switch (t->instrument) {
    case BP_AMPS_CLAMP:
        return BP_TOOL_CLAMP;
    case BP_TEST_LAMP:
        return BP_TOOL_LAMP;
    case BP_LED_LAMP:
        return BP_TOOL_LED;
    default:
        return BP_TOOL_METER;
    }
}

/* Does a person notice by himself what this part does? */
static bool is_noticed(const bp_circuit *c, size_t part) {
    return bp_models[bp_kind_index(c->parts[part].kind)]->senses != 0;
}

static bool was_made(const listing *l, size_t test) {
    for (size_t i = 0; l->posterior && i < bp_posterior_n_evidence(l->posterior); i++)
        if (bp_posterior_evidence(l->posterior, i)->test == test &&
            bp_posterior_slip(l->posterior, i) < DOUBTFUL)
            return true;
    return false;
}

/* What a part looks like whatever the state (a fuse, a switch that trips) is looked at once. */
static bool is_looked_at(const listing *l, size_t part) {
    const bp_model *model = bp_models[bp_kind_index(l->circuit->parts[part].kind)];
    if (model->senses != BP_SEEN || !(model->lasting || l->circuit->parts[part].kind->settings))
        return false;
    for (size_t i = 0; i < l->n; i++)
        if (bp_atlas_test(l->atlas, l->test[i])->part == part)
            return true;
    for (size_t i = 0; l->posterior && i < bp_posterior_n_evidence(l->posterior); i++)
        if (bp_atlas_test(l->atlas, bp_posterior_evidence(l->posterior, i)->test)->part == part)
            return true;
    return false;
}

static bool may_be_made(const listing *l, size_t test) {
    const bp_test *t = bp_atlas_test(l->atlas, test);
    const unsigned tool = tool_of(t);
    if ((tool & l->tools) != tool || was_made(l, test) || !bp_atlas_stands_still(l->atlas, test))
        return false;
    if (t->part != BP_NONE && (!is_noticed(l->circuit, t->part) || is_looked_at(l, t->part)))
        return false;
    const bp_cell good = bp_atlas_cell(l->atlas, 0, test);
    return good.sort != BP_CELL_NONE && good.sort != BP_CELL_MISSING;
}

static void take(listing *l, size_t test) {
    for (size_t i = 0; i < l->n; i++)
        if (l->test[i] == test)
            return;
    if (l->n == l->room) {
        size_t *more = realloc(l->test, (2 * l->room + 64) * sizeof *more);
        if (!more) {
            l->status = BP_ERR_MEMORY;
            return;
        }
        l->test = more;
        l->room = 2 * l->room + 64;
    }
    l->test[l->n++] = test;
}

/* ---- what takes solutions of its own ---- */

enum { MOST_TOGETHER = 64 };

/* Tests that are solved together; a group that is refused is not offered. */
typedef struct together {
    size_t test[MOST_TOGETHER];
    size_t n;
} together;

static void add(listing *l, together *g, const bp_test *test) {
    const size_t t = bp_atlas_test_add(l->atlas, test);
    if (t == BP_NONE)
        l->status = BP_ERR_MEMORY;
    else if (g->n < MOST_TOGETHER)
        g->test[g->n++] = t;
}

static void solve(listing *l, together *g) {
    bp_report *aside = bp_report_new();
    const bp_status status =
        g->n == 0 ? BP_OK : bp_atlas_want(l->atlas, g->test, g->n, l->rows, l->n_rows, aside);
    for (size_t i = 0; status == BP_OK && i < g->n; i++)
        if (may_be_made(l, g->test[i]))
            take(l, g->test[i]);
    if (status != BP_OK && status != BP_ERR_USAGE && l->status == BP_OK) {
        l->status = status;
        if (aside && bp_report_count(aside) > 0)
            bp_report_add(l->report, BP_MISTAKE, NULL, 0, 0, "%s", bp_report_at(aside, 0)->text);
    }
    bp_report_free(&aside);
    g->n = 0;
}

/* The states in which the circuit is at work and nothing pulses: those in which drops are measured.
 */
static bool is_busy(const bp_atlas *a, size_t state) {
    for (size_t t = 0; t < bp_atlas_n_tests(a); t++) {
        const bp_test *x = bp_atlas_test(a, t);
        if (x->state == state && x->part == BP_NONE && x->n_after == 0 && x->red != BP_NONE &&
            x->black != BP_NONE)
            return true;
    }
    return false;
}

static bool has_plugs(const bp_part *p) {
    for (size_t i = 0; i < p->n_pins; i++)
        if (p->pins[i].sort == BP_PIN_PLUG)
            return true;
    return false;
}

static const char *parting(const bp_part *p) {
    return p->kind == &bp_kind_fuse || p->kind == &bp_kind_relay ? "pull" : "unplug";
}

static void amps(listing *l, size_t state) {
    for (size_t p = 0; p < l->circuit->n_parts; p++) {
        if (l->circuit->parts[p].kind != &bp_kind_fuse)
            continue;
        bp_test t = BP_TEST_INIT;
        together g = {.n = 0};
        t.state = state;
        t.instrument = BP_AMPS;
        t.at = p;
        add(l, &g, &t);
        solve(l, &g);
    }
}

static void lamps(listing *l, size_t state, bp_instrument lamp) {
    together g = {.n = 0};
    for (size_t i = 0; i < l->circuit->n_points; i++) {
        const bp_point *point = &l->circuit->points[i];
        bp_test t = BP_TEST_INIT;
        t.state = state;
        t.instrument = lamp;
        t.red = point->face;
        t.red_point = i;
        if (point->reach != BP_PLUG_OPEN && point->reach != BP_SOCKET_PART_OUT &&
            bp_face_node(l->circuit, point->face) !=
                bp_face_node(l->circuit, l->circuit->reference))
            add(l, &g, &t);
    }
    solve(l, &g);
}

/* Across a part taken off, pin by pin; the circuit at rest. */
static void ohms(listing *l, size_t part, const char *action) {
    const bp_part *p = &l->circuit->parts[part];
    together g = {.n = 0};
    for (size_t i = 0; i + 1 < p->n_pins; i++) {
        bp_test t = BP_TEST_INIT;
        t.after = &action;
        t.n_after = 1;
        t.state = bp_resting_state(l->circuit);
        t.instrument = BP_OHMS;
        t.red = p->pins[i].own;
        t.black = p->pins[i + 1].own;
        if (p->pins[i].sort == BP_PIN_PLUG && p->pins[i + 1].sort == BP_PIN_PLUG)
            add(l, &g, &t);
    }
    solve(l, &g);
}

/* The wires' side of the plug, and what everything else does without the part. */
static void laid_open(listing *l, size_t state, size_t part, const char *action) {
    const bp_part *p = &l->circuit->parts[part];
    together g = {.n = 0};
    bp_test t = BP_TEST_INIT;
    t.after = &action;
    t.n_after = 1;
    t.state = state;
    for (size_t i = 0; i < p->n_pins; i++) {
        t.red = p->pins[i].harness;
        if (p->pins[i].sort == BP_PIN_PLUG)
            add(l, &g, &t);
    }
    solve(l, &g);
    t.red = BP_NONE;
    for (size_t i = 0; i < l->circuit->n_parts; i++)
        if (i != part && !l->circuit->parts[i].kind->passive && is_noticed(l->circuit, i)) {
            t.part = i;
            add(l, &g, &t);
        }
    solve(l, &g);
}

static void with_meter(listing *l, size_t state) {
    amps(l, state);
    for (size_t p = 0; p < l->circuit->n_parts && l->status == BP_OK; p++) {
        const bp_part *part = &l->circuit->parts[p];
        char action[160];
        if (part->kind->passive || !has_plugs(part))
            continue;
        snprintf(action, sizeof action, "%s %s", parting(part), part->id);
        laid_open(l, state, p, action);
    }
}

static void all_ohms(listing *l) {
    for (size_t p = 0; p < l->circuit->n_parts && l->status == BP_OK; p++) {
        const bp_part *part = &l->circuit->parts[p];
        char action[160];
        if (part->kind->passive || !has_plugs(part) || !is_noticed(l->circuit, p))
            continue;
        snprintf(action, sizeof action, "%s %s", parting(part), part->id);
        ohms(l, p, action);
    }
}

static void extras(listing *l) {
    for (size_t s = 0; s < l->circuit->n_states && l->status == BP_OK; s++) {
        if (!is_busy(l->atlas, s))
            continue;
        if (l->tools & BP_TOOL_METER)
            with_meter(l, s);
        if (l->tools & BP_TOOL_LAMP)
            lamps(l, s, BP_TEST_LAMP);
        if (l->tools & BP_TOOL_LED)
            lamps(l, s, BP_LED_LAMP);
    }
    if (l->tools & BP_TOOL_METER)
        all_ohms(l);
}

static bp_status list(listing *l, bool with_extras, size_t **tests, size_t *n) {
    const size_t there = bp_atlas_n_tests(l->atlas);
    l->circuit = bp_atlas_circuit(l->atlas);
    for (size_t t = 0; t < there; t++)
        if (may_be_made(l, t))
            take(l, t);
    if (with_extras)
        extras(l);
    *tests = l->test;
    *n = l->n;
    if (l->status != BP_OK) {
        free(*tests);
        *tests = NULL;
    }
    return l->status;
}

bp_status bp_candidates(bp_atlas *atlas, const bp_posterior *posterior, unsigned tools,
                        const size_t *rows, size_t n_rows, size_t **tests, size_t *n,
                        bp_report *report) {
    listing l = {.atlas = atlas,
                 .posterior = posterior,
                 .tools = tools,
                 .rows = rows,
                 .n_rows = n_rows,
                 .report = report};
    return list(&l, n_rows <= FEW_ROWS, tests, n);
}

bp_status bp_candidates_plain(bp_atlas *atlas, size_t **tests, size_t *n) {
    listing l = {.atlas = atlas, .tools = ~0u};
    return list(&l, false, tests, n);
}
