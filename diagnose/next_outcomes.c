/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a test can turn out, in a few groups, and what each leaves.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "diagnose/next_parts.h"
#include "sim/instrument.h"

enum { MOST_RANGES = 4 };
/* Outcomes rarer than this are not worth a line: a slip, or nothing in the list. */
#define RARE 0.015
/* A range this narrow is one value. */
#define NARROW_PART 0.06
#define NARROW_COUNTS 12.0

static bp_puzzle_test grouped(bp_next *n, size_t test, const double *weight, size_t **first) {
    const bp_forecast *f = n->forecast;
    const bp_puzzle_test *t = &f->outcomes[test];
    *first = calloc(t->n_outcomes + 2, sizeof **first);
    const size_t groups = *first ? bp_puzzle_join(&f->puzzle, t, weight, MOST_RANGES, *first) : 0;
    return groups > 0 ? bp_puzzle_joined(&f->puzzle, t, *first, groups)
                      : (bp_puzzle_test){.p = NULL};
}

/* Between which values do the cases lie that mostly end here? */
static bool extent(const bp_forecast *f, size_t test, const bp_puzzle_test *t, size_t group,
                   double ends[2]) {
    ends[0] = INFINITY;
    ends[1] = -INFINITY;
    for (size_t i = 0; i < f->n_cases; i++) {
        const bp_shown *s = &f->shown[test * f->n_cases + i];
        if (s->sort != BP_CELL_VALUE || t->p[i * t->n_outcomes + group] < 0.5F)
            continue;
        ends[0] = fmin(ends[0], (double)(s->mean - s->sd));
        ends[1] = fmax(ends[1], (double)(s->mean + s->sd));
    }
    return ends[0] <= ends[1];
}

/* To the digits that matter; a range that ends below a tenth is one of thousandths. */
static void value_text(double value, bool fine, char *text, size_t size) {
    const int digits = fine ? 3 : fabs(value) < 0.995 ? 2 : fabs(value) < 99.5 ? 1 : 0;
    snprintf(text, size, "%.*f", digits, fabs(value) < 0.5 * pow(10, -digits) ? 0 : value);
}

static const char *range_text(bp_next *n, size_t test, const bp_range *from, const bp_range *to,
                              const double ends[2]) {
    const bp_test *t = bp_atlas_test(n->d->atlas, n->forecast->test[test]);
    const bp_instrument_def *meter = bp_instruments[t->instrument];
    const double low = fmax(from->low, ends[0]), high = fmin(to->high, ends[1]);
    const double counts = meter->count ? NARROW_COUNTS * meter->count(high) : 0;
    const double wide = fmax(NARROW_PART * fabs(high), counts);
    const bool one = high - low <= wide, ohms = meter->unit == BP_UNIT_OHM;
    const double scale = t->instrument == BP_MILLIVOLTS ? 1000 : 1;
    const double first = one ? (low + high) / 2 : low;
    char a[40], b[40];
    if (ohms) {
        bp_quantity_format(fmax(first, 0), BP_UNIT_OHM, 2, a, sizeof a);
        bp_quantity_format(high, BP_UNIT_OHM, 2, b, sizeof b);
        return one ? bp_store_print(&n->store, "about %s", a)
                   : bp_store_print(&n->store, "%s to %s", a, b);
    }
    const bool fine = fmax(fabs(first), fabs(high)) * scale < 0.1;
    value_text(first * scale, fine, a, sizeof a);
    value_text(high * scale, fine, b, sizeof b);
    const char *unit = scale > 1 ? "mV" : bp_unit_symbol(meter->unit);
    return one ? bp_store_print(&n->store, "about %s %s", a, unit)
               : bp_store_print(&n->store, "%s to %s %s", a, b, unit);
}

static bool make_outcome(bp_next *n, size_t test, const bp_puzzle_test *t, const size_t *first,
                         size_t group, const double *after, bp_next_outcome *out) {
    const bp_forecast *f = n->forecast;
    double ends[2];
    const bp_range *from = &f->range[test][first[group]];
    const bp_range *to = &f->range[test][first[group + 1] - 1];
    out->display = from->word;
    out->low = out->high = NAN;
    if (!from->word) {
        if (!extent(f, test, t, group, ends))
            return false;
        out->low = from->low;
        out->high = to->high;
        out->display = range_text(n, test, from, to, ends);
    }
    const char *left = bp_next_left(n, after, &out->leaves, &out->n_leaves, &out->n_suspects);
    out->means = bp_store_print(&n->store, "leaves %zu: %s", out->n_suspects, left);
    return true;
}

bp_next_branches bp_next_make_outcomes(bp_next *n, size_t test, const double *weight,
                                       bp_next_test *out) {
    const bp_forecast *f = n->forecast;
    size_t *first = NULL;
    bp_puzzle_test t = grouped(n, test, weight, &first);
    bp_next_branches b = {.n = 0};
    b.weight = t.p ? calloc(t.n_outcomes * f->n_cases + 1, sizeof *b.weight) : NULL;
    bp_next_outcome *list = t.p ? bp_store_get(&n->store, t.n_outcomes, sizeof *list) : NULL;
    n->store.failed = n->store.failed || !b.weight;
    for (size_t g = 0; list && b.weight && g < t.n_outcomes; g++) {
        double *after = &b.weight[b.n * f->n_cases];
        list[b.n].probability = bp_puzzle_after(&f->puzzle, &t, weight, g, after);
        if (list[b.n].probability >= RARE && make_outcome(n, test, &t, first, g, after, &list[b.n]))
            b.n++;
    }
    out->outcomes = list;
    out->n_outcomes = b.n;
    free(t.p);
    free(first);
    return b;
}
