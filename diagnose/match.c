/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <backprobe/match.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/match_parts.h"
#include "diagnose/rank.h"

/* Above this nothing in the list explains the readings. */
#define HALF 0.5

bool bp_match_add(bp_match *m, bp_suspect s) {
    if (m->n_suspects == m->room) {
        const size_t room = 2 * m->room + 16;
        bp_suspect *more = realloc(m->suspect, room * sizeof *more);
        if (!more)
            return false;
        m->suspect = more;
        m->room = room;
    }
    m->suspect[m->n_suspects++] = s;
    return true;
}

void bp_match_scale(bp_match *m, double by) {
    m->other *= by;
    for (size_t i = 0; i < m->n_suspects; i++) {
        bp_suspect *s = &m->suspect[i];
        bp_suspect_fault *list = bp_store_keep(&m->store, s->faults, s->n_faults, sizeof *list);
        s->probability *= by;
        for (size_t f = 0; list && f < s->n_faults; f++)
            list[f].probability *= by;
        s->faults = list;
    }
}

/* A fault as written and in words, whatever its degree. */
static void fault_texts(bp_match *m, size_t fault, bp_suspect_fault *out) {
    bp_fault_case faults = {.n = 1};
    char text[300], words[400];
    faults.fault[0] = bp_atlas_fault(m->d->atlas, fault)->fault;
    faults.fault[0].severity = NAN; /* what the readings say of it stands beside */
    bp_fault_words(m->d->circuit, &faults, words, sizeof words);
    bp_fault_write(m->d->circuit, &faults, text, sizeof text);
    const bp_mode_decl *mode = bp_fault_mode(m->d->circuit, &faults.fault[0]);
    out->fault = bp_store_copy(&m->store, text);
    out->words = bp_store_copy(&m->store, words);
    out->unit = mode->unit;
}

static bp_suspect_fault make_fault(bp_match *m, size_t fault) {
    const bp_posterior *p = m->d->posterior;
    bp_suspect_fault f = {.probability = bp_posterior_fault(p, fault),
                          .severity = bp_posterior_severity(p, fault, 0.5),
                          .low = bp_posterior_severity(p, fault, 0.05),
                          .high = bp_posterior_severity(p, fault, 0.95)};
    fault_texts(m, fault, &f);
    return f;
}

int bp_match_by_id(const void *x, const void *y) {
    const bp_suspect_fault *a = x, *b = y;
    return strcmp(a->fault ? a->fault : "", b->fault ? b->fault : "");
}

static const char *part_of(const bp_match *m, size_t fault) {
    return m->d->circuit->parts[bp_atlas_fault(m->d->atlas, fault)->fault.part].id;
}

static bool add_class(bp_match *m, size_t number, const size_t *class_of) {
    const size_t n_faults = bp_atlas_n_faults(m->d->atlas);
    size_t n = 0, leader = BP_NONE;
    bool one_part = true;
    for (size_t f = 0; f < n_faults; f++)
        n += class_of[f] == number;
    bp_suspect_fault *list = bp_store_get(&m->store, n, sizeof *list);
    bp_suspect s = {.sort = BP_SUSPECT_FAULTS, .faults = list};
    for (size_t f = 0; f < n_faults && list; f++) {
        if (class_of[f] != number)
            continue;
        list[s.n_faults++] = make_fault(m, f);
        s.probability += bp_posterior_fault(m->d->posterior, f);
        one_part =
            one_part && (leader == BP_NONE || strcmp(part_of(m, f), part_of(m, leader)) == 0);
        if (leader == BP_NONE ||
            bp_posterior_fault(m->d->posterior, f) > bp_posterior_fault(m->d->posterior, leader))
            leader = f;
    }
    if (!list || leader == BP_NONE)
        return false;
    qsort(list, s.n_faults, sizeof *list, bp_match_by_id);
    s.says = bp_match_reason(m, bp_rank_best(m->d->posterior, leader),
                             one_part ? part_of(m, leader) : "circuit");
    return bp_match_add(m, s);
}

static bool add_classes(bp_match *m) {
    size_t *class_of = calloc(bp_atlas_n_faults(m->d->atlas) + 1, sizeof *class_of);
    if (!class_of)
        return false;
    const size_t n = bp_rank_classes(m->d->posterior, class_of);
    bool good = n != (size_t)-1;
    for (size_t k = 0; k < n && good; k++)
        good = add_class(m, k, class_of);
    free(class_of);
    return good;
}

static bool add_named(bp_match *m) {
    const bp_posterior *p = m->d->posterior;
    bp_suspect healthy = {.sort = BP_SUSPECT_HEALTHY,
                          .probability = bp_posterior_healthy(p),
                          .says = bp_match_reason(m, BP_NONE, "circuit")};
    bp_suspect absent = {.sort = BP_SUSPECT_ABSENT,
                         .probability = bp_posterior_absent(p),
                         .says = "what was read is what a good circuit shows, and nobody said that "
                                 "the trouble was there at that moment"};
    return bp_match_add(m, healthy) && (absent.probability <= 0 || bp_match_add(m, absent));
}

static int by_probability(const void *x, const void *y) {
    const bp_suspect *a = x, *b = y;
    return a->probability != b->probability ? (a->probability > b->probability ? -1 : 1)
                                            : (int)a->sort - (int)b->sort;
}

/* The likeliest single hypothesis, and what it is called. */
static bool add_misfits(bp_match *m) {
    const bp_posterior *p = m->d->posterior;
    size_t best = BP_NONE;
    for (size_t h = 0; h < bp_posterior_n(p); h++)
        if (best == BP_NONE ||
            bp_posterior_at(p, h)->probability > bp_posterior_at(p, best)->probability)
            best = h;
    if (best == BP_NONE)
        return true;
    const bp_hypothesis *h = bp_posterior_at(p, best);
    char cause[400] = "a good circuit";
    if (h->sort == BP_HYPOTHESIS_FAULT) {
        bp_fault_case faults = {.n = 1};
        faults.fault[0] = bp_atlas_fault(m->d->atlas, h->fault)->fault;
        faults.fault[0].severity = NAN;
        bp_fault_write(m->d->circuit, &faults, cause, sizeof cause);
    }
    return bp_match_find_misfits(m, best, cause);
}

static void find_first(bp_match *m) {
    size_t test = BP_NONE;
    if (!bp_diagnosis_lacks_supply(m->d, &test))
        return;
    const bp_circuit *c = m->d->circuit;
    const char *state =
        test == BP_NONE ? c->states[0].id : c->states[bp_atlas_test(m->d->atlas, test)->state].id;
    m->first = bp_store_print(&m->store,
                              "Measure the battery across its posts first, in state %s: without it "
                              "no other reading says much.",
                              state);
}

static bool build(bp_match *m, bp_report *report) {
    m->other = bp_posterior_other(m->d->posterior);
    find_first(m);
    if (!bp_match_say_left_out(m) || !add_classes(m) || !add_named(m) || !add_misfits(m) ||
        (m->other > HALF && !bp_match_find_pairs(m, report)))
        return false;
    qsort(m->suspect, m->n_suspects, sizeof *m->suspect, by_probability);
    /* What did not fit any single fault fits the two. */
    if (m->n_suspects > 0 && m->suspect[0].sort == BP_SUSPECT_PAIRS &&
        m->suspect[0].probability > HALF)
        m->n_misfits = 0;
    return !m->store.failed;
}

bp_match *bp_match_new(const bp_casefile *file, const bp_match_options *options,
                       bp_report *report) {
    bp_match *m = calloc(1, sizeof *m);
    if (!m)
        return NULL;
    m->d = bp_diagnosis_new(file, options, report);
    if (m->d && build(m, report))
        return m;
    if (m->d)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory");
    bp_match_free(&m);
    return NULL;
}

void bp_match_free(bp_match **match) {
    if (!match || !*match)
        return;
    bp_diagnosis_free(&(*match)->d);
    bp_store_clear(&(*match)->store);
    free((*match)->suspect);
    free(*match);
    *match = NULL;
}

size_t bp_match_n_suspects(const bp_match *match) { return match->n_suspects; }
const bp_suspect *bp_match_suspect(const bp_match *match, size_t i) { return &match->suspect[i]; }
double bp_match_other(const bp_match *match) { return match->other; }
size_t bp_match_n_misfits(const bp_match *match) { return match->n_misfits; }
const bp_misfit *bp_match_misfit(const bp_match *match, size_t i) { return &match->misfit[i]; }
size_t bp_match_n_left_out(const bp_match *match) { return match->d->n_left_out; }
const char *bp_match_left_out(const bp_match *match, size_t i) { return match->left_out[i]; }
const char *bp_match_first(const bp_match *match) { return match->first; }
bool bp_match_is_no(const bp_match *match) { return match->other > HALF; }
