/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is left after an outcome, as ids and in words.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/next_parts.h"

/* Those are left that are at least this much as probable as the likeliest. */
#define LEFT 0.05
/* Names in a sentence. */
enum { MOST_NAMES = 6 };

static void fault_case(const bp_next *n, size_t fault, bp_fault_case *out) {
    *out = (bp_fault_case){.n = 1};
    out->fault[0] = bp_atlas_fault(n->d->atlas, fault)->fault;
    out->fault[0].severity = NAN;
}

const char *bp_next_fault_id(bp_next *n, size_t fault) {
    bp_fault_case faults;
    char text[300];
    fault_case(n, fault, &faults);
    bp_fault_write(n->d->circuit, &faults, text, sizeof text);
    return bp_store_copy(&n->store, text);
}

const char *bp_next_fault_words(bp_next *n, size_t fault) {
    bp_fault_case faults;
    char text[400];
    fault_case(n, fault, &faults);
    bp_fault_words(n->d->circuit, &faults, text, sizeof text);
    return bp_store_copy(&n->store, text);
}

/* A fault, or one of the three suspects that are none. */
typedef struct left {
    size_t fault, class; /* fault BP_NONE: none */
    const char *id, *words;
    double weight;
} left;

static left left_of(bp_next *n, size_t i) {
    const bp_forecast *f = n->forecast;
    left l = {.fault = f->fault[i], .class = f->class_of[i]};
    if (f->hypothesis[i] == BP_NONE) {
        l.id = "other";
        l.words = "something that is not in the list";
    } else if (l.fault == BP_NONE) {
        const bool healthy =
            bp_posterior_at(f->posterior, f->hypothesis[i])->sort == BP_HYPOTHESIS_HEALTHY;
        l.id = healthy ? "healthy" : "absent";
        l.words = healthy ? "this circuit is good" : "the trouble was not there";
    }
    return l;
}

static int by_weight(const void *x, const void *y) {
    const left *a = x, *b = y;
    return a->weight != b->weight ? (a->weight > b->weight ? -1 : 1)
                                  : (a->fault > b->fault) - (a->fault < b->fault);
}

static size_t collect(bp_next *n, const double *weight, left *list) {
    const bp_forecast *f = n->forecast;
    size_t count = 0;
    for (size_t i = 0; i < f->n_cases; i++) {
        const left own = left_of(n, i);
        size_t k = 0;
        while (k < count && (list[k].fault != own.fault || list[k].class != own.class))
            k++;
        if (k == count)
            list[count++] = own;
        list[k].weight += weight[i];
    }
    qsort(list, count, sizeof *list, by_weight);
    return count;
}

/* Those that are left, and how many classes they are of. */
static size_t cut(const left *list, size_t count, size_t *classes) {
    size_t n = 0;
    *classes = 0;
    while (n < count && list[n].weight >= LEFT * list[0].weight) {
        bool is_new = true;
        for (size_t k = 0; k < n; k++)
            is_new = is_new && list[k].class != list[n].class;
        *classes += is_new;
        n++;
    }
    return n;
}

/* "C3.1" of "C3.1:open". */
static bool named_already(const left *list, size_t i) {
    const size_t length = strcspn(list[i].id, ":");
    for (size_t k = 0; k < i; k++)
        if (strcspn(list[k].id, ":") == length && strncmp(list[k].id, list[i].id, length) == 0)
            return true;
    return false;
}

static const char *names(bp_next *n, const left *list, size_t count) {
    size_t all = 0, written = 0;
    const char *text = "";
    for (size_t i = 0; i < count; i++)
        all += !named_already(list, i);
    const size_t shown = all <= MOST_NAMES ? all : MOST_NAMES - 1;
    for (size_t i = 0; i < count && written < shown; i++) {
        if (named_already(list, i))
            continue;
        const char *join = written == 0 ? "" : written + 1 == shown && all == shown ? " or " : ", ";
        text = list[i].words ? bp_store_print(&n->store, "%s%s%s", text, join, list[i].words)
                             : bp_store_print(&n->store, "%s%s%.*s", text, join,
                                              (int)strcspn(list[i].id, ":"), list[i].id);
        written++;
    }
    return all > shown ? bp_store_print(&n->store, "%s and %zu more", text, all - shown) : text;
}

const char *bp_next_left(bp_next *n, const double *weight, const char *const **leaves,
                         size_t *n_leaves, size_t *suspects) {
    left *list = calloc(n->forecast->n_cases + 1, sizeof *list);
    if (!list) {
        n->store.failed = true;
        return "";
    }
    const size_t count = cut(list, collect(n, weight, list), suspects);
    const char **ids = bp_store_get(&n->store, count, sizeof *ids);
    for (size_t i = 0; i < count && ids; i++) {
        if (!list[i].id)
            list[i].id = bp_next_fault_id(n, list[i].fault);
        ids[i] = list[i].id;
    }
    *leaves = ids;
    *n_leaves = ids ? count : 0;
    const char *text = !ids || n->store.failed ? ""
                       : count > 1             ? names(n, list, count)
                       : list[0].words         ? list[0].words
                                               : bp_next_fault_words(n, list[0].fault);
    free(list);
    return text;
}
