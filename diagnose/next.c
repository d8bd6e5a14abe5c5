/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/next_parts.h"

#include <stdlib.h>
#include <stdio.h>
#include <string.h>

#include "diagnose/candidates.h"

static const struct {
    bp_tool bit;
    const char *name;
} tools[] = {
#define X(code, bit, name, words) {code, name},
    BP_TOOL_LIST(X)
#undef X
};
enum { N_TOOLS = sizeof tools / sizeof *tools };

bool bp_tools_parse(const char *text, unsigned *bits, char *why, size_t size) {
    *bits = 0;
    while (*text) {
        const size_t length = strcspn(text, ",");
        size_t i = 0;
        while (i < N_TOOLS &&
               (strlen(tools[i].name) != length || strncmp(tools[i].name, text, length) != 0))
            i++;
        if (i == N_TOOLS) {
            snprintf(why, size,
                     "there is no tool \"%.*s\": write some of meter, clamp, lamp, led-lamp, with "
                     "commas between them",
                     (int)(length < 40 ? length : 40), text);
            return false;
        }
        *bits |= tools[i].bit;
        text += length;
        if (*text == ',')
            text++;
    }
    return true;
}

double bp_next_minutes(void *data, const size_t *made, size_t n_made, size_t test) {
    bp_next *n = data;
    const bp_atlas *atlas = n->d->atlas;
    bp_bench_top_take(n->way, n->top);
    for (size_t i = 0; i < n_made; i++)
        bp_bench_top_made(n->way, bp_atlas_test(atlas, n->forecast->test[made[i]]));
    return bp_test_minutes(n->way, bp_atlas_test(atlas, n->forecast->test[test]));
}

/* What the readings taken left behind on the bench. */
static bool set_bench(bp_next *n) {
    n->top = bp_bench_top_new(n->d->atlas);
    n->way = bp_bench_top_new(n->d->atlas);
    if (!n->top || !n->way)
        return false;
    for (size_t i = 0; i < n->d->n_evidence; i++)
        bp_bench_top_made(n->top, bp_atlas_test(n->d->atlas, n->d->evidence[i].test));
    return true;
}

/* The supply's own test is among them when it is still to be made. */
static bp_status make_forecast(bp_next *n, bp_report *report) {
    size_t supply = BP_NONE, n_rows = 0, n_tests = 0, *tests = NULL;
    const bool lacks = bp_diagnosis_lacks_supply(n->d, &supply);
    n->forecast = bp_forecast_new(n->d->posterior);
    size_t *rows = n->forecast ? bp_forecast_rows(n->forecast, &n_rows) : NULL;
    bp_status status = rows ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK && supply != BP_NONE)
        status = bp_atlas_want(n->d->atlas, &supply, 1, rows, n_rows, report);
    if (status == BP_OK)
        status = bp_candidates(n->d->atlas, n->d->posterior, n->options.tools, rows, n_rows, &tests,
                               &n_tests, report);
    if (status == BP_OK)
        status = bp_forecast_tests(n->forecast, tests, n_tests);
    for (size_t t = 0; status == BP_OK && lacks && t < n_tests; t++)
        if (tests[t] == supply)
            n->supply = t;
    free(rows);
    free(tests);
    return status;
}

/* ---- which are shown ---- */

/* What tells less than this share of the best a minute is not worth showing beside it. */
#define WORTH 0.15

/* Does the list hold the same leads already, in another state? */
static bool is_twin(const bp_next *n, const size_t *list, size_t count, size_t test) {
    const bp_test *t = bp_atlas_test(n->d->atlas, n->forecast->test[test]);
    for (size_t i = 0; i < count; i++) {
        const bp_test *x = bp_atlas_test(n->d->atlas, n->forecast->test[list[i]]);
        if (x->part == t->part && x->instrument == t->instrument && x->at == t->at &&
            x->red == t->red && x->black == t->black && x->n_after == t->n_after &&
            (t->n_after == 0 || strcmp(x->after[0], t->after[0]) == 0))
            return true;
    }
    return false;
}

static double rate_of(const bp_next *n, size_t test) {
    return n->score[test].bits / n->score[test].minutes;
}

static size_t next_best(const bp_next *n, const size_t *list, size_t count, double most) {
    size_t best = BP_NONE;
    for (size_t t = 0; t < n->forecast->n_tests; t++)
        if (n->score[t].bits >= n->forecast->puzzle.least && rate_of(n, t) >= WORTH * most &&
            !is_twin(n, list, count, t) && (best == BP_NONE || rate_of(n, t) > rate_of(n, best)))
            best = t;
    return best;
}

static void show_test(bp_next *n, size_t test, bp_next_test *out) {
    bp_next_name_test(n, test, out);
    out->bits = n->score[test].bits;
    out->minutes = n->score[test].minutes;
    if (test == n->supply)
        out->first = "No other reading can be judged without the supply's voltage, and this one "
                     "shows that the meter and its leads are good";
    bp_next_branches b = bp_next_make_outcomes(n, test, n->forecast->weight, out);
    free(b.weight);
}

static bool choose(bp_next *n) {
    const bp_forecast *f = n->forecast;
    n->score = calloc(f->n_tests + 1, sizeof *n->score);
    size_t *list = calloc(n->options.most + 2, sizeof *list), count = 0;
    n->test = calloc(n->options.most + 2, sizeof *n->test);
    bool good = n->score && list && n->test;
    size_t best = good ? bp_puzzle_best(&f->puzzle, f->weight, NULL, 0, n->score) : BP_NONE;
    if (good && n->supply != BP_NONE)
        list[count++] = n->supply;
    const double most = best == BP_PUZZLE_NONE ? 0 : rate_of(n, best);
    while (good && best != BP_PUZZLE_NONE && count < n->options.most) {
        if (!is_twin(n, list, count, best))
            list[count++] = best;
        best = next_best(n, list, count, most);
    }
    for (size_t i = 0; i < count && good; i++)
        show_test(n, list[i], &n->test[i]);
    n->n_tests = count;
    free(list);
    return good;
}

static bool conclude(bp_next *n) {
    const bp_forecast *f = n->forecast;
    const char *const *leaves = NULL;
    size_t n_leaves = 0;
    const char *left = bp_next_left(n, f->weight, &leaves, &n_leaves, &n->n_suspects);
    if (n->n_tests > 0)
        return true;
    const bool certain = bp_puzzle_lead(&f->puzzle, f->weight) >= f->puzzle.enough;
    if (certain && n_leaves == 1)
        n->end = bp_store_print(&n->store, "Nothing is left to test: it is %s", left);
    else if (certain)
        n->end =
            bp_store_print(&n->store, "No test tells these apart; look at each of them: %s", left);
    else
        n->end = bp_store_print(
            &n->store, "No test that can be made with what is at hand tells more: %s", left);
    return true;
}

static bp_status build(bp_next *n, const bp_casefile *file, bp_report *report) {
    n->d = bp_diagnosis_new(file, &n->options.match, report);
    if (!n->d)
        return BP_ERR_SOLVER;
    if (!set_bench(n))
        return BP_ERR_MEMORY;
    const bp_status status = make_forecast(n, report);
    if (status != BP_OK)
        return status;
    n->forecast->puzzle.minutes = bp_next_minutes;
    n->forecast->puzzle.data = n;
    const bool good =
        choose(n) && conclude(n) && (!n->options.plan || bp_next_make_plan(n)) && !n->store.failed;
    return good ? BP_OK : BP_ERR_MEMORY;
}

bp_next *bp_next_new(const bp_casefile *file, const bp_next_options *options, bp_report *report) {
    bp_next *n = calloc(1, sizeof *n);
    if (!n)
        return NULL;
    n->options = *options;
    n->supply = BP_NONE;
    const bp_status status = build(n, file, report);
    if (status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory");
    if (status != BP_OK)
        bp_next_free(&n);
    return n;
}

void bp_next_free(bp_next **next) {
    bp_next *n = *next;
    if (!n)
        return;
    bp_forecast_free(&n->forecast);
    bp_bench_top_free(&n->top);
    bp_bench_top_free(&n->way);
    bp_diagnosis_free(&n->d);
    bp_store_clear(&n->store);
    free(n->score);
    free(n->test);
    free(n);
    *next = NULL;
}

size_t bp_next_n_tests(const bp_next *n) { return n->n_tests; }
const bp_next_test *bp_next_test_at(const bp_next *n, size_t i) { return &n->test[i]; }
size_t bp_next_n_suspects(const bp_next *n) { return n->n_suspects; }
const char *bp_next_end(const bp_next *n) { return n->end; }
bool bp_next_is_good(const bp_next *n) { return bp_posterior_healthy(n->d->posterior) > 0.5; }
const bp_test_plan *bp_next_plan(const bp_next *n) { return n->plan; }
